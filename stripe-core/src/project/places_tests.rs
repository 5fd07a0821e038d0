//! Several motifs that share their places, and copies that follow from places.

use super::Project;
use crate::quilt::{lay_out, spots};
use crate::shape::Point;

/// A field of 4 by 5 blocks of 6 in, a motif of 5 in in each, and what `place` says of them.
fn blocks(heads: [&str; 3], place: &str) -> String {
    let motif = |name: &str, head: &str| {
        format!(
            "[motif.{name}]\n{head}\n[[motif.{name}.part]]\nfabric = \"chalk\"\nshape = \"disc\"\n\
             rim = 2.5\n"
        )
    };
    format!(
        "[fabric.chalk]\nwidth = 42\ncolour = \"#ece7dc\"\n{}{}{}[quilt.q.field]\n\
         fabric = \"chalk\"\nwidth = 24.5\nlength = 30.5\n[[quilt.q.place]]\n{place}\n",
        motif("mill", heads[0]),
        motif("cog", heads[1]),
        motif("dahlia", heads[2])
    )
}

const THREE: &str = "motifs = [\"mill\", \"cog\", \"dahlia\"]\neven = [4, 5]";

// By hand: 20 blocks in turn are 7, 7 and 6; the fifth block begins the second row with the
// second motif; the first block's middle is 3 in from the left and 27 in up.
#[test]
fn several_motifs_share_a_grid() {
    let copies = |text: &str| -> Vec<usize> {
        let project = Project::read(text).unwrap();
        assert_eq!(project.validate(), Ok(()));
        project.motifs.iter().map(|motif| motif.copies).collect()
    };
    for order in [
        "",
        "\norder = \"in turn\"",
        "\norder = \"never side by side\"",
    ] {
        let text = blocks(["", "", ""], &format!("{THREE}{order}"));
        assert_eq!(copies(&text), [7, 7, 6], "{order}");
    }
    let project = Project::read(&blocks(["", "", ""], THREE)).unwrap();
    let quilt = &project.quilts[0];
    let all = spots(quilt, &project.motifs, &lay_out(quilt));
    let at = |x: f64, y: f64| {
        let is_there = |p: Point| (p.x / 25.4 - x).hypot(p.y / 25.4 - y) < 1e-9;
        let spot = all.iter().find(|spot| is_there(spot.centre)).unwrap();
        format!("{} {}", spot.motif, spot.copy)
    };
    assert_eq!(all.len(), 20);
    let first = [at(3.0, 27.0), at(9.0, 27.0), at(15.0, 27.0), at(21.0, 27.0)];
    assert_eq!(first, ["mill 1", "cog 1", "dahlia 1", "mill 2"]);
    assert_eq!(at(3.0, 21.0), "cog 2");

    let points = "motifs = [\"mill\", \"cog\", \"mill\"]\nat = [[3, 3], [9, 3], [15, 3]]\n\
                  order = \"as listed\"\n[[quilt.q.place]]\nmotif = \"dahlia\"\nat = [[15, 9]]";
    assert_eq!(copies(&blocks(["", "copies = 1", ""], points)), [2, 1, 1]);
}

#[test]
fn what_cannot_be_shared_out_is_told() {
    let never = "even = [4, 5]\norder = \"never side by side\"";
    let cases = [
        // In turn 14 of 20 would be mills; a chessboard of 20 has 10 dark fields.
        (
            ["", "", "copies = 1"],
            format!("motifs = [\"mill\", \"mill\", \"cog\"]\n{never}"),
            "14 copies of `mill` on 20 places must touch",
        ),
        (
            ["", "", ""],
            format!("{THREE}\norder = \"as listed\""),
            "lists 3 names for 20 places",
        ),
        (
            ["", "copies = 6", ""],
            THREE.to_owned(),
            "has seven places for cog, but the motif asks for six copies",
        ),
        (
            ["", "", ""],
            "motif = \"mill\"\neven = [4, 5]".to_owned(),
            "motif `cog` has neither `copies` nor a place",
        ),
        (
            ["", "", ""],
            format!("{THREE}\nmotif = \"cog\""),
            "has both `motif` and `motifs`",
        ),
        (
            ["", "", ""],
            THREE.replace("cog", "cogg"),
            "there is no motif \"cogg\"",
        ),
        (
            ["", "", ""],
            "motifs = [\"mill\", \"cog\", \"dahlia\"]\neven = [1, 2]".to_owned(),
            "no place left for \"dahlia\"",
        ),
        (
            ["", "", ""],
            "motif = \"mill\"\neven = [4, 5]\norder = \"in turn\"".to_owned(),
            "but only one motif",
        ),
        (
            ["", "", ""],
            THREE.replace(
                "even = [4, 5]",
                "at = [[3, 3]]\norder = \"never side by side\"",
            ),
            "do not stand in rows",
        ),
        (
            ["", "", ""],
            THREE.replace(
                "even = [4, 5]",
                "even = [400, 400]\norder = \"never side by side\"",
            ),
            "160000 places",
        ),
    ];
    for (heads, place, words) in cases {
        let text = blocks(heads, &place);
        let faults = Project::read(&text).expect_err(words);
        let told = faults.iter().filter(|fault| fault.message.contains(words));
        assert_eq!(told.count(), 1, "{words}: {faults:#?}");
    }
    // Without a place in the quilt at all, it was bought and not sewn on.
    let text = blocks(["", "copies = 1", "copies = 1"], "");
    let text = text.replace("[[quilt.q.place]]\n", "");
    let faults = Project::read(&text).unwrap_err();
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert!(
        faults[0]
            .help
            .ends_with("or say how many there are: `copies = 1`")
    );
}
