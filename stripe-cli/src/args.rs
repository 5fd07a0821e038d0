//! What can be asked for on the command line.

use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};
use std::ffi::OsString;
use std::path::PathBuf;
use stripe_core::draw::{Method, Paper};
use stripe_core::lay::Effort;

/// Plans how to cut appliqué motifs from striped fabric so that the stripes run on from
/// wedge to wedge, and so that you buy as little fabric as possible.
#[derive(Debug, Parser)]
#[command(name = "stripelay", version, max_term_width = 100)]
#[command(
    after_help = "Start with `stripelay new my-quilt`: it makes an example that runs as it is."
)]
pub(crate) struct Args {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Start a project: an example that runs as it is, with every line explained
    New(NewArgs),
    /// Plan a project and write the booklet, cutting maps, templates and lists
    Lay(LayArgs),
    /// Compare fabric widths, ways of matching, or sizes: how much fabric each takes, and what it costs
    Compare(CompareArgs),
    /// Check a plan: every piece there, on the fabric, not touching another, stripes matched
    Check(CheckArgs),
    /// Draw one kind of page or picture again from a plan
    Draw(DrawArgs),
    /// Rescue a plan half way: when pieces are spoilt, or the fabric is not what you measured
    Recut(RecutArgs),
    /// Read the stripe of your fabric from a scan or a photograph of it
    Swatch(SwatchArgs),
}

#[derive(Debug, ClapArgs)]
pub(crate) struct NewArgs {
    /// The folder to make (a dot: this folder)
    pub(crate) dir: PathBuf,
    /// Write even if the folder is not empty, over a file of the same name
    #[arg(long)]
    pub(crate) force: bool,
    /// Begin a project for this SVG drawing of a motif, instead of the example
    #[arg(long, value_name = "DRAWING.svg")]
    pub(crate) from: Option<PathBuf>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct SwatchArgs {
    /// The picture (JPEG, PNG, TIFF or WebP): flat fabric in even light, several repeats of it
    pub(crate) photo: PathBuf,
    /// How much fabric the picture shows from its left to its right edge, for example 8in; a
    /// scan usually knows its own size
    #[arg(long, value_name = "LENGTH", conflicts_with = "points")]
    pub(crate) shows: Option<String>,
    /// Two points of the picture, in pixels from its upper left corner: 120,80,2400,95
    #[arg(long, value_name = "X,Y,X,Y", requires = "apart")]
    pub(crate) points: Option<String>,
    /// How far apart the two points are on the fabric, for example 10in
    #[arg(long, value_name = "LENGTH", requires = "points")]
    pub(crate) apart: Option<String>,
    /// Read this part of the picture alone, in pixels from its upper left corner
    #[arg(long, value_name = "LEFT,TOP,WIDTH,HEIGHT")]
    pub(crate) crop: Option<String>,
    /// What the fabric is called in the project file; with `--into` it may be left out where only
    /// one fabric is striped
    #[arg(long, value_name = "NAME")]
    pub(crate) fabric: Option<String>,
    /// Write the bands into this project file, in place of those of the fabric, and a picture of
    /// one repeat beside it; all else in the file stays as it is
    #[arg(long, value_name = "PROJECT")]
    pub(crate) into: Option<PathBuf>,
    /// The unit of lengths (default: that of the project, or inches)
    #[arg(long, value_enum, value_name = "UNIT")]
    pub(crate) unit: Option<UnitArg>,
    /// The folder to write a picture into that shows photograph and bands side by side
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Write over a picture of the same name
    #[arg(long)]
    pub(crate) force: bool,
}

/// Units of length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum UnitArg {
    /// Inches
    In,
    /// Centimetres
    Cm,
    /// Millimetres
    Mm,
}

/// What every search is told.
#[derive(Debug, ClapArgs)]
pub(crate) struct SearchArgs {
    /// Any other number starts the search differently and may find a shorter layout; the same
    /// number gives the same plan
    #[arg(
        long,
        default_value_t = 1,
        value_name = "N",
        allow_negative_numbers = true
    )]
    pub(crate) seed: u64,
    /// How many processor threads to use (default: all)
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=1024), value_name = "N")]
    pub(crate) threads: Option<u16>,
}

/// What maps, templates and the booklet are drawn for.
#[derive(Debug, ClapArgs)]
pub(crate) struct PagesArgs {
    /// Paper size for maps and templates (default: Letter for inches, A4 for metric)
    #[arg(long, value_enum, value_name = "PAPER")]
    pub(crate) paper: Option<PaperArg>,
    /// How you use your templates; it decides whether they are drawn mirrored
    /// (default: paper-on-right-side)
    #[arg(long, value_parser = methods(), value_name = "METHOD")]
    pub(crate) method: Option<Method>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct LayArgs {
    /// The project file (TOML)
    pub(crate) project: PathBuf,
    /// The folder to write into; it must be new or empty (or use --force)
    #[arg(long, value_name = "DIR")]
    pub(crate) out: PathBuf,
    /// How much to search for a shorter layout: each stops on its own, and gives the same
    /// plan every time
    #[arg(long, value_enum, default_value_t = EffortArg::Steady)]
    pub(crate) effort: EffortArg,
    /// Search this many seconds, however long --effort takes by itself, and keep the best
    /// layout; two runs may give different plans
    #[arg(long, value_parser = seconds, value_name = "S", allow_negative_numbers = true)]
    pub(crate) seconds: Option<f64>,
    /// Which [quilt.NAME] to plan, if the pattern comes in several sizes (default: the first)
    #[arg(long, value_name = "NAME")]
    pub(crate) size: Option<String>,
    /// Plan with another usable width of a fabric, for example deck=54in, and its price: deck=54in@22;
    /// repeat it for other fabrics
    #[arg(long, value_name = "FABRIC=WIDTH")]
    pub(crate) width: Vec<String>,
    /// Plan with another repeat of a stripe, for example deck=4in: all its bands, and the offsets
    /// that are set on them, are scaled to it; repeat it for other fabrics
    #[arg(long, value_name = "FABRIC=LENGTH")]
    pub(crate) repeat: Vec<String>,
    /// How far stripes may be out of line, for example 1/32in
    #[arg(long = "stripe-tolerance", value_name = "LENGTH")]
    pub(crate) tolerance: Option<String>,
    /// Whether all copies of a motif show the stripe in the same place, or each in its own, which
    /// may save fabric; a part whose `offset` is set keeps it
    #[arg(long, value_enum)]
    pub(crate) copies: Option<CopiesArg>,
    /// Whether pieces may be turned around where their fabric allows it
    #[arg(long, value_enum)]
    pub(crate) may_rotate: Option<MayRotateArg>,
    /// Cut this many equal quilts at once (default: `kits` of the project, or 1)
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=200))]
    pub(crate) kits: Option<u16>,
    /// Plan as many copies of this motif as the fabric in hand gives, beside the other motifs, and
    /// no quilt
    #[arg(long, value_name = "MOTIF")]
    pub(crate) as_many: Option<String>,
    #[command(flatten)]
    pub(crate) pages: PagesArgs,
    #[command(flatten)]
    pub(crate) search: SearchArgs,
    /// Print the summary as JSON, for other programs
    #[arg(long)]
    pub(crate) json: bool,
    /// Write even if the folder is not empty, over files of the same names
    #[arg(long)]
    pub(crate) force: bool,
}

#[derive(Debug, ClapArgs)]
#[command(group = clap::ArgGroup::new("what").required(true).multiple(true))]
pub(crate) struct RecutArgs {
    /// The plan (plan.json)
    pub(crate) plan: PathBuf,
    /// Pieces that went wrong and are to be cut again, by their codes: W3b,T5a or W3*
    #[arg(long, value_name = "CODE,..", value_delimiter = ',', group = "what")]
    pub(crate) spoilt: Vec<String>,
    /// Pieces that are cut already and good; a file of codes: @ticked.txt
    #[arg(long, value_name = "CODE,..", value_delimiter = ',')]
    pub(crate) cut: Vec<String>,
    /// Another piece of the same fabric to cut from, width (across) by length (along the
    /// selvage), and where its stripe begins: "7 in x 5 in" or "deck=7 in x 5 in@1/2 in"; or its
    /// corners: "(0, 0) (7, 0) (5, 6) (0, 6)"; repeat it for more
    #[arg(long, value_name = "SIZE")]
    pub(crate) from: Vec<String>,
    /// What the repeat really measures: "deck=2 7/16 in". Everything that is not cut yet is laid
    /// anew for the stripe as it is
    #[arg(
        long,
        value_name = "FABRIC=LENGTH",
        conflicts_with = "keep",
        group = "what"
    )]
    pub(crate) repeat: Vec<String>,
    /// What the usable width really measures: "deck=41 1/2 in"
    #[arg(
        long,
        value_name = "FABRIC=LENGTH",
        conflicts_with = "keep",
        group = "what"
    )]
    pub(crate) width: Vec<String>,
    /// How far the stripes really run off square, in degrees, counterclockwise: deck=0.5
    #[arg(
        long,
        value_name = "FABRIC=DEGREES",
        conflicts_with = "keep",
        allow_hyphen_values = true,
        group = "what"
    )]
    pub(crate) lean: Vec<String>,
    /// Leave every other piece where it is, even if that takes more fabric
    #[arg(long)]
    pub(crate) keep: bool,
    /// The folder to write into; it must be new or empty (or use --force)
    #[arg(long, value_name = "DIR")]
    pub(crate) out: PathBuf,
    /// How much to search, if pieces have to move
    #[arg(long, value_enum, default_value_t = EffortArg::Quick)]
    pub(crate) effort: EffortArg,
    #[command(flatten)]
    pub(crate) pages: PagesArgs,
    #[command(flatten)]
    pub(crate) search: SearchArgs,
    /// Print the summary as JSON, for other programs
    #[arg(long)]
    pub(crate) json: bool,
    /// Write even if the folder is not empty, over files of the same names
    #[arg(long)]
    pub(crate) force: bool,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct CompareArgs {
    /// The project file (TOML)
    pub(crate) project: PathBuf,
    /// Usable widths of one fabric, for example deck=42in,44in, each with its price if that
    /// differs: deck=42in,54in@22; repeat it for other fabrics
    #[arg(long, value_name = "FABRIC=WIDTH,..")]
    pub(crate) width: Vec<String>,
    /// How much of a striped fabric the pattern needs whatever its stripe: for repeats such as
    /// deck=1in..8in (by the inch, or by 2 cm), deck=1in..8in by 1/2in or deck=3in,5in; with
    /// --width for each of these widths too
    #[arg(long, value_name = "FABRIC=FROM..TO", conflicts_with = "seconds")]
    pub(crate) repeat: Option<String>,
    /// How far stripes may be out of line, for example 0,1/32in
    #[arg(long = "stripe-tolerance", value_name = "LENGTH,..")]
    pub(crate) tolerance: Option<String>,
    /// Whether all copies of a motif show the stripe in the same place, or each in its own, which
    /// may save fabric; a part whose `offset` is set keeps it
    #[arg(long, value_enum, value_delimiter = ',')]
    pub(crate) copies: Vec<CopiesArg>,
    /// Whether pieces may be turned around where their fabric allows it
    #[arg(long, value_enum, value_delimiter = ',')]
    pub(crate) may_rotate: Vec<MayRotateArg>,
    /// Sizes of the pattern, by the NAME of their [quilt.NAME]
    #[arg(long, value_delimiter = ',', value_name = "NAME,..")]
    pub(crate) size: Vec<String>,
    /// Write the table and the chart into this folder too; it must be new or empty
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// How much to search for a shorter layout of each choice
    #[arg(long, value_enum, default_value_t = EffortArg::Quick)]
    pub(crate) effort: EffortArg,
    /// Search this many seconds in all, shared out evenly, however long --effort takes by
    /// itself; two runs may give different plans
    #[arg(long, value_parser = seconds, value_name = "S", allow_negative_numbers = true)]
    pub(crate) seconds: Option<f64>,
    #[command(flatten)]
    pub(crate) search: SearchArgs,
    /// Print the table as JSON, for other programs
    #[arg(long)]
    pub(crate) json: bool,
    /// Write even if the folder is not empty, over files of the same names
    #[arg(long)]
    pub(crate) force: bool,
}

/// Whether copies look alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum CopiesArg {
    /// All copies share one offset
    Alike,
    /// Each copy has its own
    Own,
}

/// Whether pieces may be turned around.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum MayRotateArg {
    /// As each fabric allows
    Yes,
    /// Every piece the way it is drawn
    No,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct CheckArgs {
    /// The plan (plan.json)
    pub(crate) plan: PathBuf,
    /// Print what was found as JSON, for other programs
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct DrawArgs {
    /// What to draw
    #[arg(value_enum)]
    pub(crate) what: Drawing,
    /// The plan (plan.json)
    pub(crate) plan: PathBuf,
    /// The folder to write into (default: where the plan is)
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) pages: PagesArgs,
    /// Leave stripes and ticks off the templates: fewer sheets, since pieces of one shape share a
    /// template
    #[arg(long)]
    pub(crate) without_stripes: bool,
    /// For `pattern`: what to ask for of a striped fabric, whatever its stripe, for example
    /// "deck=1 1/4 yd if the stripe repeats within 5 in"; repeat it for other fabrics
    #[arg(long, value_name = "FABRIC=WORDS")]
    pub(crate) ask_for: Vec<String>,
    /// For `pattern`: the project file that the plan was made from; it is written beside the pattern,
    /// marked where another maker puts in their own stripe
    #[arg(long, value_name = "PROJECT")]
    pub(crate) project: Option<PathBuf>,
    /// Write over files of the same names
    #[arg(long)]
    pub(crate) force: bool,
}

/// What can be drawn from a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Drawing {
    /// Cutting maps: each fabric with its pieces
    Map,
    /// Each motif as it will look when sewn
    Motif,
    /// The whole quilt top as it will look when sewn
    Quilt,
    /// Placement guide: where each motif goes, measured from seams and creases
    Placement,
    /// Templates at true size: sheets to print, and outlines for a cutting machine
    Templates,
    /// Booklet: what to buy, maps, cut list, order of work, and a try-out of the stripe
    Booklet,
    /// Pattern: a booklet and templates for makers who have another stripe
    Pattern,
}

/// Sheets of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum PaperArg {
    /// 8 1/2 by 11 in
    Letter,
    /// 210 by 297 mm
    A4,
    /// Fits on either
    Either,
}

impl PaperArg {
    /// The paper itself.
    pub(crate) fn paper(self) -> Paper {
        match self {
            Self::Letter => Paper::Letter,
            Self::A4 => Paper::A4,
            Self::Either => Paper::Either,
        }
    }
}

/// The ways of using templates by their names, each with its help.
fn methods() -> impl TypedValueParser<Value = Method> {
    let named = Method::ALL.map(|method| PossibleValue::new(method.name()).help(method.summary()));
    PossibleValuesParser::new(named)
        .map(|name| Method::from_name(&name).expect("only names of methods are taken"))
}

/// How hard to search.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum EffortArg {
    /// About a second for each fabric
    Quick,
    /// Up to ten seconds for each fabric
    Steady,
    /// Up to a minute for each fabric: worth it where fabric is expensive
    Patient,
}

impl EffortArg {
    /// The search that it stands for.
    pub(crate) fn to_effort(self, seed: u64) -> Effort {
        match self {
            Self::Quick => Effort::quick(seed),
            Self::Steady => Effort::steady(seed),
            Self::Patient => Effort::patient(seed),
        }
    }
}

/// What to say of lengths that the shell took apart: `--width deck=42 in,44 in`.
pub(crate) fn loose_units(args: impl Iterator<Item = OsString>) -> Option<String> {
    let args: Vec<String> = args.map(|arg| arg.to_string_lossy().into_owned()).collect();
    let units = ["in", "ft", "yd", "mm", "cm", "m"];
    let is_unit = |arg: &str| units.contains(&arg.split([',', '@']).next().unwrap_or_default());
    let is_fraction =
        |arg: &str| arg.contains('/') && arg.starts_with(|c: char| c.is_ascii_digit());
    let first = args.windows(2).position(|pair| {
        let ends_open = pair[0].ends_with(|c: char| c.is_ascii_digit());
        ends_open && (is_unit(&pair[1]) || is_fraction(&pair[1]))
    })?;
    let more = args[first + 1..].iter();
    let taken = more.take_while(|arg| !arg.starts_with('-')).cloned();
    let whole: Vec<String> = std::iter::once(args[first].clone()).chain(taken).collect();
    Some(format!(
        "What has spaces needs quotes: \"{}\"",
        whole.join(" ")
    ))
}

fn seconds(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(seconds) if seconds > 0.0 && seconds <= 1e6 => Ok(seconds),
        _ => Err("give a number of seconds above 0, for example 30".to_owned()),
    }
}
