//! What can be asked for on the command line.

use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;
use stripe_core::draw::{Method, Paper};
use stripe_core::lay::Effort;

/// Plans how to cut appliqué motifs from striped fabric so that the stripes run on
/// from wedge to wedge, on as little fabric as can be.
#[derive(Debug, Parser)]
#[command(name = "stripelay", version, max_term_width = 100)]
#[command(
    after_help = "Start with `stripelay new harbour`: it makes a project that runs as it is."
)]
pub(crate) struct Args {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Start a project that runs as it is, every field explained
    New(NewArgs),
    /// Plan a project, check the plan, and write plan, map, pictures and cut list
    Layout(LayArgs),
    /// Plan the same project under several choices and compare what they cost
    Compare(CompareArgs),
    /// Check a plan by itself: every piece there, on the fabric, clear, in phase
    Check(CheckArgs),
    /// Draw again from a plan
    Draw(DrawArgs),
}

#[derive(Debug, ClapArgs)]
pub(crate) struct NewArgs {
    /// The folder to make
    pub(crate) dir: PathBuf,
    /// Write into a folder that holds other things, and over a file of the same name
    #[arg(long)]
    pub(crate) force: bool,
}

/// What every search is told.
#[derive(Debug, ClapArgs)]
pub(crate) struct SearchArgs {
    /// Another number searches another way; the same number plans the same
    #[arg(
        long,
        default_value_t = 1,
        value_name = "N",
        allow_negative_numbers = true
    )]
    pub(crate) seed: u64,
    /// Stop searching after so many seconds and keep the best layout
    #[arg(long, value_parser = seconds, value_name = "S")]
    pub(crate) seconds: Option<f64>,
    /// How many processor threads to use (default: all)
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=1024), value_name = "N")]
    pub(crate) threads: Option<u16>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct LayArgs {
    /// The project file (TOML)
    pub(crate) project: PathBuf,
    /// The folder to write into: new or empty
    #[arg(long, value_name = "DIR")]
    pub(crate) out: PathBuf,
    /// How long to search for a shorter layout
    #[arg(long, value_enum, default_value_t = EffortArg::Steady)]
    pub(crate) effort: EffortArg,
    /// Which size of the pattern to plan, by its name in the file (default: the first)
    #[arg(long, value_name = "NAME")]
    pub(crate) size: Option<String>,
    #[command(flatten)]
    pub(crate) search: SearchArgs,
    /// Print the summary as JSON
    #[arg(long)]
    pub(crate) json: bool,
    /// Write into a folder that holds other things, and over files of the same names
    #[arg(long)]
    pub(crate) force: bool,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct CompareArgs {
    /// The project file (TOML)
    pub(crate) project: PathBuf,
    /// Usable widths of a fabric, for example deck=42in,44in; once for each fabric
    #[arg(long, value_name = "FABRIC=WIDTH,..")]
    pub(crate) width: Vec<String>,
    /// By how much a stripe may miss, for example 0,1/32in
    #[arg(long = "stripe-tolerance", value_name = "LENGTH,..")]
    pub(crate) tolerance: Option<String>,
    /// Copies alike, or each with its own offset; parts with a fixed offset keep it
    #[arg(long, value_enum, value_delimiter = ',')]
    pub(crate) copies: Vec<CopiesArg>,
    /// Whether pieces may be turned about where their fabric allows it
    #[arg(long, value_enum, value_delimiter = ',')]
    pub(crate) may_rotate: Vec<MayRotateArg>,
    /// Sizes of the pattern, by their names in the file
    #[arg(long, value_delimiter = ',', value_name = "NAME,..")]
    pub(crate) size: Vec<String>,
    /// Write table, JSON and chart into this folder too: new or empty
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// How long to search for a shorter layout of each choice
    #[arg(long, value_enum, default_value_t = EffortArg::Quick)]
    pub(crate) effort: EffortArg,
    #[command(flatten)]
    pub(crate) search: SearchArgs,
    /// Print the rows as JSON
    #[arg(long)]
    pub(crate) json: bool,
    /// Write into a folder that holds other things, and over files of the same names
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

/// Whether pieces may be turned about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum MayRotateArg {
    /// As each fabric allows
    Yes,
    /// Every piece as it is drawn
    No,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct CheckArgs {
    /// The plan (plan.json)
    pub(crate) plan: PathBuf,
    /// Print what is found as JSON
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
    /// The folder to write into (default: the plan's own)
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// The paper of maps and templates (default: Letter for inches, A4 for metric)
    #[arg(long, value_enum, value_name = "PAPER")]
    pub(crate) paper: Option<PaperArg>,
    /// How you use templates: it decides whether they are drawn mirrored
    /// (default: paper-on-face)
    #[arg(long, value_enum, value_name = "METHOD")]
    pub(crate) method: Option<MethodArg>,
    /// Write over files of the same names
    #[arg(long)]
    pub(crate) force: bool,
}

/// What can be drawn from a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Drawing {
    /// Each fabric with its pieces, to cut from
    Map,
    /// Each motif as it will look when sewn
    Motif,
    /// The whole quilt as it will look when sewn
    Quilt,
    /// Where each motif goes: seams, creases, centres
    Placement,
    /// Templates at true size: sheets to print, and lines for cutting machines
    Templates,
    /// One page for the table: what to buy, maps, cut list, and a try-out of the stripe
    Booklet,
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

/// What is done with templates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum MethodArg {
    /// Paper ironed or pinned on the face of the fabric
    PaperOnFace,
    /// Paper on the back, edges pressed over it with starch or glue
    PaperOnBack,
    /// Paper on the back, its drawing against the fabric, edges ironed onto it
    PaperFacingBack,
    /// A firm template traced on the face
    TracedOnFace,
    /// A firm template traced on the back
    TracedOnBack,
    /// Traced onto fusible web, which goes on the back
    FusibleOnBack,
    /// Besides the templates, each whole motif as an overlay to lay above the work
    OverlayOnTop,
    /// Besides the templates, each whole motif to be drawn on the back of the background
    DrawnBehind,
}

impl MethodArg {
    /// The method itself.
    pub(crate) fn method(self) -> Method {
        match self {
            Self::PaperOnFace => Method::PaperOnFace,
            Self::PaperOnBack => Method::PaperOnBack,
            Self::PaperFacingBack => Method::PaperFacingBack,
            Self::TracedOnFace => Method::TracedOnFace,
            Self::TracedOnBack => Method::TracedOnBack,
            Self::FusibleOnBack => Method::FusibleOnBack,
            Self::OverlayOnTop => Method::OverlayOnTop,
            Self::DrawnBehind => Method::DrawnBehind,
        }
    }
}

/// How hard to search.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum EffortArg {
    /// About a second
    Quick,
    /// A few seconds
    Steady,
    /// About a minute, for dear fabric
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

    /// Its name, as on the command line.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Quick => "quick",
            Self::Steady => "steady",
            Self::Patient => "patient",
        }
    }
}

fn seconds(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(seconds) if seconds > 0.0 && seconds <= 1e6 => Ok(seconds),
        _ => Err("give a number of seconds above 0, for example 30".to_owned()),
    }
}
