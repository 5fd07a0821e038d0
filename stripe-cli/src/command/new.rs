//! `stripelay new`: a project that runs as it is.

use crate::args::NewArgs;
use crate::failure::Failure;
use crate::input::read_bytes;
use crate::output;
use crate::result_set::{Kind, ResultSet, Room};
use crate::stop::Stop;
use std::path::Path;
use stripe_core::drawing::{self, limits::MAX_DRAWING_BYTES};

const FILE: &str = "harbour.toml";
const TEXT: &str = include_str!("../../../data/harbour/harbour.toml");

pub(crate) fn run(args: &NewArgs) -> Result<(), Failure> {
    if let Some(from) = &args.from {
        return run_from(args, from);
    }
    let room = if args.force { Room::Any } else { Room::Empty };
    Stop::end_at_once();
    let mut set = ResultSet::begin(&args.dir, room, Kind::Other)?;
    set.write(FILE, TEXT.as_bytes())?;
    set.finish()?;
    let (file, plan) = (args.dir.join(FILE), args.dir.join("plan"));
    let (file, plan) = (file.display(), plan.display());
    output::print(&format!(
        "Wrote {file}: a quilt of ships' wheels, tides and breakwaters, with every line explained.\n\
         \n\
         Next: stripelay lay {file} --out {plan}\n\
         Then open {file} in a text editor and change it to suit your quilt.\n"
    ))
}

/// A project for one drawing, which is copied beside the project file.
fn run_from(args: &NewArgs, from: &Path) -> Result<(), Failure> {
    let svg = read_bytes(from, MAX_DRAWING_BYTES as u64)?;
    let drawing = drawing::read(&svg).map_err(|faults| {
        let from = from.display();
        match &faults[..] {
            [one] => Failure::new(format!("{from} cannot be a motif: {one}"), one.help.clone()),
            // Each beside what to do about it.
            many => {
                let said = many.iter().map(|one| format!("\n- {one}: {}", one.help));
                Failure::new(
                    format!("{from} cannot be a motif:{}", said.collect::<String>()),
                    "change this in your drawing program, save it as plain SVG and try again",
                )
            }
        }
    })?;
    let names: Vec<&str> = (drawing.pieces.iter().map(|(name, _)| name.as_str())).collect();
    let room = if args.force { Room::Any } else { Room::Empty };
    Stop::end_at_once();
    let mut set = ResultSet::begin(&args.dir, room, Kind::Other)?;
    set.write("motif.svg", &svg)?;
    set.write("motif.toml", project_for(&names).as_bytes())?;
    set.finish()?;
    let (file, plan) = (args.dir.join("motif.toml"), args.dir.join("plan"));
    let (file, plan) = (file.display(), plan.display());
    output::print(&format!(
        "Wrote {file}: a motif of {}, cut from one fabric for now.\n\
         \n\
         Next: open {file} in a text editor and put in your own fabrics.\n\
         Then: stripelay lay {file} --out {plan}\n",
        match names.len() {
            1 => "1 piece".to_owned(),
            n => format!("{n} pieces"),
        }
    ))
}

/// The project file for a drawing of these pieces.
fn project_for(names: &[&str]) -> String {
    // Ids are a stranger's words: nothing of them may end the comment.
    let clean = |name: &&str| name.replace(char::is_control, " ");
    let names: Vec<String> = names.iter().map(clean).collect();
    format!(
        r##"title = "My drawing"
unit = "in"

[making]
tuck_under = "1/4 in"    # how far a piece runs on under the one that covers it

[fabric.striped]         # your fabric: its usable width and one repeat of its stripe
width = 42

[fabric.striped.stripe]
run = "lengthwise"
bands = [
  {{ name = "dark",  width = "1 in",   colour = "#28446b" }},
  {{ name = "light", width = "1/2 in", colour = "#f0e8d8" }},
]

[motif.drawing]
copies = 1
drawing = "motif.svg"    # lies beside this file

# Pieces are known by the id of their path. A star stands for any characters; of several `names`
# that fit a piece, the first counts. The drawing has: {}
[[motif.drawing.piece]]
names = "*"
fabric = "striped"
stripe_angle = 0         # turns the stripes counterclockwise, in degrees: 0 is upright, 90 is level
"##,
        names.join(", ")
    )
}
