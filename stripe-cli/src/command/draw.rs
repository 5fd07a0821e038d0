//! `stripelay draw`: pictures again, from a plan alone.

use crate::args::{DrawArgs, Drawing};
use crate::failure::Failure;
use crate::output;
use crate::pictures::{fan_pictures, map_pictures, placing_picture, quilt_picture};
use crate::plan_file::read_plan;
use crate::result_set::{ResultSet, Room};
use crate::sheets::{booklet_file, choice, machine_files, template_sheets};
use std::path::{Path, PathBuf};

pub(crate) fn run(args: &DrawArgs) -> Result<(), Failure> {
    let plan = read_plan(&args.plan)?;
    let room = if args.force { Room::Any } else { Room::Beside };
    let target = args.out.clone().unwrap_or_else(|| folder_of(&args.plan));
    let mut set = ResultSet::begin(&target, room)?;
    let choice = choice(&plan, args.paper, args.method);
    let pictures = match args.what {
        Drawing::Map => map_pictures(&plan, choice.paper)?,
        Drawing::Fan => fan_pictures(&plan)?,
        Drawing::Quilt => quilt_picture(&plan)?,
        Drawing::Placing => placing_picture(&plan)?,
        Drawing::Templates => {
            let mut files = vec![template_sheets(&plan, choice)?];
            files.extend(machine_files(&plan, choice)?);
            files
        }
        Drawing::Booklet => vec![booklet_file(&plan, choice)?],
    };
    for (name, bytes) in pictures {
        set.write(&name, &bytes)?;
    }
    let mut text = String::new();
    for name in set.finish()? {
        text += &format!("{}\n", target.join(name).display());
    }
    output::print(&text)
}

fn folder_of(plan: &Path) -> PathBuf {
    match plan.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    }
}
