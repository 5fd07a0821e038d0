//! Random small projects that ask much of the layout: narrow and leaning fabric, figures,
//! no clear gap, offsets that are fixed, shared or each copy's own.

use std::fmt::Write;
use stripe_core::internals::rng::Rng;

/// A project file, in inches; nearly always one that can be read.
pub(crate) fn any_project(seed: u64) -> String {
    let mut rng = Rng::new(seed);
    let gap = rng.pick(&["0", "\"1/16 in\"", "\"0.2 mm\"", "0.5"]);
    let spared = rng.pick(&["0", "\"1 mm\""]);
    let mut text =
        format!("[making]\ngap = {gap}\nstripe_tolerance = {spared}\nturn_under = 0.125\n");
    let fabrics = rng.whole(1, 2);
    let mut kinds = vec![];
    for number in 0..fabrics {
        let kind = rng.whole(0, 6);
        kinds.push(kind);
        any_fabric(&mut text, number, kind, &mut rng);
    }
    for number in 0..rng.whole(1, 3) {
        let copies = rng.pick(&[1, 1, 2, 3, 6, 9]);
        let _ = writeln!(text, "[motif.m{number}]\ncopies = {copies}");
        for _ in 0..rng.whole(1, 3) {
            let fabric = rng.whole(0, fabrics - 1);
            any_part(&mut text, fabric, kinds[fabric], &mut rng);
        }
    }
    if rng.once_in(4) {
        let (width, length) = (rng.whole(6, 16), rng.whole(6, 16));
        let _ = writeln!(
            text,
            "[quilt.q.field]\nfabric = \"c0\"\nwidth = {width}\nlength = {length}\n[quilt.q.binding]\nfabric = \"c0\""
        );
        for number in 0..rng.whole(0, 1) {
            let spot = rng.whole(2, 5);
            let _ = writeln!(
                text,
                "[[quilt.q.place]]\nmotif = \"m{number}\"\nat = [[{spot}, {spot}]]"
            );
        }
    }
    text
}

/// Plain (0), striped (1 to 4) or figured (5 and 6).
fn any_fabric(text: &mut String, number: usize, kind: usize, rng: &mut Rng) {
    let width = rng.pick(&[6, 10, 14, 18, 27, 42]);
    let one_way = rng.once_in(3);
    let faces = rng.pick(&["right side", "both"]);
    let _ = writeln!(
        text,
        "[fabric.c{number}]\nwidth = {width}\none_way = {one_way}\nfaces = \"{faces}\""
    );
    if kind == 0 {
        let turns = rng.pick(&["[0]", "[0, 180]", "[0, 90, 180, 270]"]);
        let _ = writeln!(text, "colour = \"#336699\"");
        if !one_way {
            let _ = writeln!(text, "may_rotate = {turns}");
        }
        return;
    }
    let run = rng.pick(&["lengthwise", "crosswise"]);
    let lean = rng.pick(&[0.0, 0.0, 0.3, 1.0, -1.0, -2.5, 0.01]);
    let start = rng.real(-1.0, 2.0);
    let _ = writeln!(
        text,
        "[fabric.c{number}.stripe]\nrun = \"{run}\"\nlean = {lean}\nstart = {start:.3}"
    );
    let band = |rng: &mut Rng, i: usize| {
        let width = rng.pick(&[0.25, 0.5, 0.75, 1.0, 1.3, 2.0]);
        format!("{{ name = \"b{i}\", width = {width}, colour = \"#{i}0{i}0{i}0\" }}")
    };
    let bands: Vec<String> = (1..=rng.whole(1, 4)).map(|i| band(rng, i)).collect();
    let _ = writeln!(text, "bands = [{}]", bands.join(", "));
    if kind >= 5 {
        let _ = writeln!(text, "[fabric.c{number}.stripe.along]");
        if rng.once_in(3) {
            let drop = rng.pick(&[0.0, 1.0, 0.7]);
            let _ = writeln!(text, "drop = {drop}");
        }
        let bands: Vec<String> = (1..=rng.whole(1, 2)).map(|i| band(rng, i)).collect();
        let _ = writeln!(text, "bands = [{}]", bands.join(", "));
    }
}

fn any_part(text: &mut String, fabric: usize, kind: usize, rng: &mut Rng) {
    let _ = writeln!(
        text,
        "[[motif.m{}.part]]\nfabric = \"c{fabric}\"",
        last_motif(text)
    );
    let rim = rng.pick(&[0.8, 1.3, 2.0, 3.0, 4.0, 5.0]);
    match rng.whole(0, 4) {
        0 => {
            let wedges = rng.whole(1, 4);
            let _ = writeln!(text, "shape = \"disc\"\nrim = {rim}\nwedges = {wedges}");
        }
        1 => {
            let hub = 0.4 * rim;
            let _ = writeln!(text, "shape = \"ring\"\nrim = {rim}\nhub = {hub:.3}");
        }
        2 => {
            let (w, h) = (rng.real(0.5, 4.0), rng.real(0.5, 4.0));
            let _ = writeln!(
                text,
                "shape = \"outline\"\npoints = [[{:.2}, {:.2}], [{w:.2}, {:.2}], [0, {h:.2}]]",
                -w, -h, -h
            );
        }
        _ => {
            let wedges = rng.whole(1, 4);
            let _ = writeln!(text, "shape = \"fan\"\nrim = {rim}\nwedges = {wedges}");
            if kind < 5 && rng.once_in(2) {
                let stripes = rng.pick(&["through", "rays", "rings"]);
                let _ = writeln!(text, "stripes = \"{stripes}\"");
            }
        }
    }
    if kind > 0 {
        match rng.whole(0, 3) {
            0 => {
                let _ = writeln!(text, "offset = {:.3}", rng.real(0.0, 2.0));
            }
            1 if kind < 5 => {
                let _ = writeln!(text, "copies_look = \"own\"");
            }
            _ => {}
        }
    }
}

/// The number of the motif that the text ends with.
fn last_motif(text: &str) -> usize {
    text.matches("\ncopies = ").count() - 1
}
