//! `stripelay swatch`: the stripe of a fabric, read from a picture of it.

use crate::args::{SwatchArgs, UnitArg};
use crate::failure::Failure;
use crate::input::{MAX_PROJECT_BYTES, read_bytes, read_text};
use crate::output;
use crate::project_file::{read_project, read_project_with};
use crate::replace::put;
use crate::result_set::{Kind, ResultSet, Room};
use crate::stop::Stop;
use crate::swatch_words::{bands, found};
use std::path::Path;
use stripe_core::fabric::Band;
use stripe_core::length::{Length, Unit};
use stripe_core::project::{Project, place_of, place_of_value};
use stripe_core::swatch::{
    Crop, MAX_BYTES, Options, Reading, Scale, SwatchError, read, side_by_side, straightened,
};

/// The picture that shows photograph and bands.
const FILE: &str = "swatch.png";
/// The picture of one repeat, straightened.
const REPEAT: &str = "repeat.jpg";
/// Two names for one band: their colours are nearer than this (CIEDE2000).
const SAME_BAND: f64 = 15.0;

pub(crate) fn run(args: &SwatchArgs) -> Result<(), Failure> {
    let project = match &args.into {
        Some(path) => Some(Target::read(path, args.fabric.as_deref())?),
        None => None,
    };
    let unit = match (args.unit, &project) {
        (Some(UnitArg::In), _) | (None, None) => Unit::Inch,
        (Some(UnitArg::Cm), _) => Unit::Centimetre,
        (Some(UnitArg::Mm), _) => Unit::Millimetre,
        (None, Some(target)) => target.project.unit,
    };
    let options = options(args, unit)?;
    let bytes = read_bytes(&args.photo, MAX_BYTES as u64)?;
    let fault = |error: SwatchError| {
        Failure::new(format!("{}: {error}", args.photo.display()), error.help())
    };
    let reading = read(&bytes, &options).map_err(fault)?;
    let mut text = found(&reading, unit) + "\n";
    let own: Vec<String> = reading.bands.iter().map(|r| r.band.name.clone()).collect();
    let repeat = match args.out.is_some() || project.is_some() {
        true => straightened(&bytes, &reading).map_err(fault)?,
        false => vec![],
    };
    let written = match &project {
        Some(target) => Some(target.with(&reading, unit, &repeat, args.force)?),
        None => None,
    };
    // The picture first: what is asked to be written into the project is not half of the job.
    if let Some(folder) = &args.out {
        let room = if args.force { Room::Any } else { Room::Beside };
        Stop::end_at_once();
        let mut set = ResultSet::begin(folder, room, Kind::Other)?;
        set.write(FILE, &side_by_side(&bytes, &reading).map_err(fault)?)?;
        set.write(REPEAT, &repeat)?;
        set.finish()?;
    }
    if let (Some(target), Some(written)) = (&project, written) {
        let path = target.path;
        // The picture first: a project never names one that is not there.
        if let Some(name) = &written.picture {
            put(&path.with_file_name(name), &repeat)?;
        }
        put(path, written.text.as_bytes())?;
        text += &format!(
            "The bands of `{}` in {} are now:\n\nbands = {}\n\nThey were: {}.\n",
            target.fabric,
            path.display(),
            written.bands,
            target.older_shown(),
        );
        if let Some(name) = &written.picture {
            text += &format!(
                "Maps, motif pictures and the quilt will show the fabric as in {name}, which `picture` names; take that line out for plain bands.\n"
            );
        }
        text += &target.doubt(&reading);
    } else {
        let name = args.fabric.as_deref().unwrap_or("NAME");
        text += &format!(
            "For the project file:\n\n[fabric.{name}]\nwidth = \"{}\" # from selvage to selvage: measure yours\n\
             [fabric.{name}.stripe]\nbands = {}\n",
            match unit {
                Unit::Inch => "42 in",
                Unit::Centimetre => "107 cm",
                Unit::Millimetre => "1070 mm",
            },
            bands(&reading, &own, unit)
        );
    }
    if let Some(folder) = &args.out {
        text += &format!(
            "\n{}: photograph and bands in turn. Where the reading is right, lines run on, and colours match as far as the light is even.\n{}: one repeat of the fabric, straightened; `picture` of a fabric may name it.\n",
            folder.join(FILE).display(),
            folder.join(REPEAT).display()
        );
    }
    output::print(&text)
}

/// What is written into a project.
struct Written {
    text: String,
    bands: String,
    /// The file that `picture` names.
    picture: Option<String>,
}

/// The project that the bands are written into.
struct Target<'a> {
    path: &'a Path,
    text: String,
    project: Project,
    fabric: String,
    /// The bands that it has so far.
    older: Vec<Band>,
}

impl<'a> Target<'a> {
    /// Reads the project; without a name, its only striped fabric is meant.
    fn read(path: &'a Path, fabric: Option<&str>) -> Result<Self, Failure> {
        let text = read_text(path, MAX_PROJECT_BYTES)?;
        let project = read_project(path, &text)?;
        let striped = project
            .fabrics
            .iter()
            .filter(|held| held.stripe().is_some());
        let striped: Vec<&str> = striped.map(|held| held.name.as_str()).collect();
        let fabric = match (fabric, striped.as_slice()) {
            (Some(name), _) => name.to_owned(),
            (None, [only]) => (*only).to_owned(),
            (None, []) => {
                return Err(Failure::new(
                    format!("{} has no striped fabric", path.display()),
                    "leave out `--into`, and copy what is printed into the file",
                ));
            }
            (None, all) => {
                return Err(Failure::new(
                    format!("{} has {} striped fabrics", path.display(), all.len()),
                    format!(
                        "say with `--fabric` whose bands are replaced: {}",
                        all.join(", ")
                    ),
                ));
            }
        };
        let Some(held) = project.fabrics.iter().find(|held| held.name == fabric) else {
            let names: Vec<&str> = project
                .fabrics
                .iter()
                .map(|held| held.name.as_str())
                .collect();
            return Err(Failure::new(
                format!("{} has no fabric `{fabric}`", path.display()),
                format!(
                    "it has: {}; for a new fabric leave out `--into`, and copy what is printed into the file",
                    names.join(", ")
                ),
            ));
        };
        let older = held.stripe().map(|stripe| stripe.bands().to_vec());
        let Some(older) = older else {
            return Err(Failure::new(
                format!("`{fabric}` in {} is plain fabric", path.display()),
                "leave out `--into`, and put what is printed in place of its `colour`",
            ));
        };
        Ok(Self {
            path,
            text,
            project,
            fabric,
            older,
        })
    }

    /// The project's text with the bands that were read, and with the picture of the repeat.
    fn with(
        &self,
        reading: &Reading,
        unit: Unit,
        repeat: &[u8],
        force: bool,
    ) -> Result<Written, Failure> {
        let way = ["fabric", self.fabric.as_str(), "stripe", "bands"];
        let Some(place) = place_of_value(&self.text, &way) else {
            return Err(Failure::new(
                format!(
                    "`bands` of `{}` were not found in {}",
                    self.fabric,
                    self.path.display()
                ),
                "leave out `--into`, and copy what is printed into the file",
            ));
        };
        let value = bands(reading, &self.names(reading), unit);
        let text = format!(
            "{}{value}{}",
            &self.text[..place.start],
            &self.text[place.end..]
        );
        let (text, picture) = self.with_picture(text, force)?;
        let coming = picture.as_deref().map(|name| (name, repeat));
        let project = read_project_with(self.path, &text, coming).map_err(|fault| {
            let first = match fault {
                Failure::Faults { faults, .. } => faults.into_iter().next(),
                _ => None,
            };
            let first = first.map_or(String::new(), |fault| format!(": {}", fault.message));
            Failure::new(
                format!(
                    "with these bands {} would have faults{first}",
                    self.path.display()
                ),
                "nothing was written; leave out `--into`, and copy what is printed into the file",
            )
        })?;
        let held = project.fabrics.iter().find(|held| held.name == self.fabric);
        let repeat_mm = held
            .and_then(|held| held.stripe())
            .map_or(0.0, |stripe| stripe.repeat_mm());
        let sum_mm: f64 = reading.bands.iter().map(|read| read.band.width_mm).sum();
        if (repeat_mm / sum_mm - 1.0).abs() > 0.002 {
            return Err(Failure::new(
                format!(
                    "`{}` has a `repeat`, `measured` or `selvages` that would stretch these bands",
                    self.fabric
                ),
                "take that line out of the project file, then try again; nothing was written",
            ));
        }
        Ok(Written {
            text,
            bands: value,
            picture,
        })
    }

    /// The text with the key `picture`, and the file that it names; the text as it is where a
    /// fabric cannot have one, or the key has no place of its own.
    fn with_picture(
        &self,
        mut text: String,
        force: bool,
    ) -> Result<(String, Option<String>), Failure> {
        let held = self.project.fabric(&self.fabric);
        let stripe = held.and_then(|held| held.stripe());
        if stripe.is_none_or(|stripe| stripe.along().is_some()) {
            return Ok((text, None));
        }
        let plain = |c: char| c.is_alphanumeric() || "-_".contains(c);
        let stem: String = self
            .fabric
            .chars()
            .map(|c| if plain(c) { c } else { '-' })
            .collect();
        let name = format!("{stem}-repeat.jpg");
        let quoted = format!("\"{name}\"");
        let way = |key| ["fabric", self.fabric.as_str(), key];
        let older = place_of_value(&text, &way("picture"));
        let is_own = older.clone().is_some_and(|place| text[place] == quoted);
        if !is_own && !force && self.path.with_file_name(&name).exists() {
            return Err(Failure::new(
                format!("{name} is beside {} already", self.path.display()),
                "move it away, or add `--force` to write over it; nothing was written",
            ));
        }
        match (older, place_of(&text, &way("width"))) {
            (Some(place), _) => text.replace_range(place, &quoted),
            (None, Some(width)) => {
                let line = text[..width.start].rfind('\n').map_or(0, |at| at + 1);
                let before = text[line..width.start].to_owned();
                if before.contains('{') {
                    text.insert_str(width.start, &format!("picture = {quoted}, "));
                } else {
                    let ends = if text.contains("\r\n") { "\r\n" } else { "\n" };
                    text.insert_str(line, &format!("{before}picture = {quoted}{ends}"));
                }
            }
            (None, None) => return Ok((text, None)),
        }
        Ok((text, Some(name)))
    }

    /// The bands that it has so far, in words.
    fn older_shown(&self) -> String {
        let older = self.older.iter().map(|band| {
            let width = Length::from_mm(band.width_mm).shown(self.project.unit);
            format!("{} {width} {}", band.name, band.colour)
        });
        older.collect::<Vec<_>>().join(", ")
    }

    /// What to say where half of the fabric's colours or more are gone, with the bands that stood there.
    fn doubt(&self, reading: &Reading) -> String {
        let names = self.names(reading);
        let kept = self.older.iter().filter(|band| names.contains(&band.name));
        if 2 * kept.count() > self.older.len() {
            return String::new();
        }
        format!(
            "\nThese are hardly the colours that `{}` had. If it was the wrong fabric: put its bands back as they were.\n",
            self.fabric
        )
    }

    /// Names for the bands: those that the project calls bands of about these colours by, since
    /// motifs may ask for a band by its name.
    fn names(&self, reading: &Reading) -> Vec<String> {
        let mut free: Vec<&Band> = self.older.iter().collect();
        let named = reading.bands.iter().map(|read| {
            let far = |band: &Band| band.colour.difference(read.band.colour);
            let nearest = (0..free.len()).min_by(|&a, &b| far(free[a]).total_cmp(&far(free[b])));
            match nearest.filter(|&i| far(free[i]) < SAME_BAND && is_plain(&free[i].name)) {
                Some(i) => free.remove(i).name.clone(),
                None => read.band.name.clone(),
            }
        });
        named.collect()
    }
}

/// Whether a name can stand between quotation marks as it is.
fn is_plain(name: &str) -> bool {
    !name.contains(['"', '\\']) && !name.contains(char::is_control)
}

fn options(args: &SwatchArgs, unit: Unit) -> Result<Options, Failure> {
    let length = |option: &str, text: &str| match Length::read(text, unit) {
        Ok(length) if length.to_mm() > 0.0 => Ok(length.to_mm()),
        Ok(_) => Err(Failure::new(
            format!("`{option} {text}` is no length of fabric"),
            "give a length above 0, for example 8in",
        )),
        Err(error) => Err(Failure::new(
            format!("`{option} {text}`: {error}"),
            "give a length, for example 8in",
        )),
    };
    let scale = match (&args.shows, &args.points, &args.apart) {
        (Some(text), _, _) => Scale::Shows(length("--shows", text)?),
        (None, Some(points), Some(apart)) => {
            let [x, y, to_x, to_y] = four("--points", points)?;
            Scale::Points {
                from: [x, y],
                to: [to_x, to_y],
                apart_mm: length("--apart", apart)?,
            }
        }
        _ => Scale::File,
    };
    let crop = match &args.crop {
        Some(text) => {
            let [left, top, width, height] = four("--crop", text)?.map(|x| x as usize);
            Some(Crop {
                left,
                top,
                width,
                height,
            })
        }
        None => None,
    };
    Ok(Options { scale, crop })
}

/// Four numbers of pixels.
fn four(option: &str, text: &str) -> Result<[f64; 4], Failure> {
    let numbers: Option<Vec<f64>> = text
        .split(',')
        .map(|part| part.trim().parse().ok())
        .map(|number: Option<f64>| number.filter(|n| (0.0..1e6).contains(n)))
        .collect();
    numbers.and_then(|all| all.try_into().ok()).ok_or_else(|| {
        Failure::new(
            format!("`{option} {text}` is not four numbers of pixels"),
            "for example 120,80,2400,95: counted from the upper left corner of the picture as you see it",
        )
    })
}
