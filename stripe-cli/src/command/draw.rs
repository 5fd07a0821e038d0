//! `stripelay draw`: pictures again, from a plan alone.

use crate::args::{DrawArgs, Drawing};
use crate::failure::Failure;
use crate::output;
use crate::pictures::{Picture, failure, named_maps, named_motifs, render};
use crate::plan_file::{folder_of, read_plan};
use crate::result_set::{Kind, ResultSet, Room};
use crate::sheets::{booklet_file, choice, machine_files, template_sheets};
use crate::stop::Stop;
use stripe_core::booklet::{Settings, booklet};
use stripe_core::draw::{
    DrawError, Stripes, map, motif_pictures, placement_guide, quilt, templates,
};
use stripe_core::plan::Plan;

pub(crate) fn run(args: &DrawArgs) -> Result<(), Failure> {
    if args.without_stripes && !matches!(args.what, Drawing::Templates) {
        return Err(Failure::new(
            "`--without-stripes` is for templates alone",
            "leave it out, or draw `templates`",
        ));
    }
    let plan = read_plan(&args.plan)?;
    let room = if args.force { Room::Any } else { Room::Beside };
    let target = args.out.clone().unwrap_or_else(|| folder_of(&args.plan));
    Stop::end_at_once();
    let mut set = ResultSet::begin(&target, room, Kind::Drawings)?;
    let choice = choice(&plan, &args.pages);
    let stripes = if args.without_stripes {
        Stripes::Left
    } else {
        Stripes::Shown
    };
    for (name, bytes) in draw(&plan, args.what, choice, stripes)? {
        set.write(&name, &bytes)?;
    }
    let mut text = String::new();
    for name in set.finish()? {
        text += &format!("{}\n", target.join(name).display());
    }
    output::print(&text)
}

fn draw(
    plan: &Plan,
    what: Drawing,
    choice: Settings,
    stripes: Stripes,
) -> Result<Vec<Picture>, Failure> {
    let fault = |error: DrawError| failure(&error);
    match what {
        Drawing::Map => {
            let fabrics = plan.fabrics.iter();
            let maps: Result<Vec<_>, DrawError> = fabrics
                .map(|fabric| map(plan, &fabric.name, choice.paper))
                .collect();
            render(named_maps(plan, &maps.map_err(fault)?))
        }
        Drawing::Motif => render(named_motifs(plan, &motif_pictures(plan).map_err(fault)?)),
        Drawing::Quilt => render(vec![("quilt".to_owned(), &quilt(plan).map_err(fault)?)]),
        Drawing::Placement => {
            let guide = placement_guide(plan).map_err(fault)?;
            render(vec![("placement".to_owned(), &guide)])
        }
        Drawing::Templates => {
            let made = templates(plan, choice.paper, choice.method, stripes).map_err(fault)?;
            let mut files = vec![template_sheets(plan, &made)?];
            files.extend(machine_files(plan, choice, stripes)?);
            Ok(files)
        }
        Drawing::Booklet => Ok(vec![booklet_file(booklet(plan, choice).map_err(fault)?)]),
    }
}
