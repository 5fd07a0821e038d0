//! `stripelay new`: a project that runs as it is.

use crate::args::NewArgs;
use crate::failure::Failure;
use crate::output;
use crate::result_set::{Kind, ResultSet, Room};
use crate::stop::Stop;

const FILE: &str = "harbour.toml";
const TEXT: &str = include_str!("../../../data/harbour/harbour.toml");

pub(crate) fn run(args: &NewArgs) -> Result<(), Failure> {
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
