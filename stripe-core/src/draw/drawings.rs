//! Everything that is drawn of a plan, each drawing made once: the booklet shows the
//! same scenes as the files beside it.

use super::error::DrawError;
use super::map::map_for;
use super::motif_picture::{MotifPicture, motif_pictures};
use super::paper::Paper;
use super::placement_guide::placement_guide;
use super::quilt::quilt;
use super::scene::Scene;
use super::template::{Method, Stripes, Templates, templates};
use crate::plan::Plan;

/// All drawings of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawings {
    /// The cutting maps, sheet by sheet, in the order of the plan's fabrics.
    pub maps: Vec<Vec<Scene>>,
    /// Every look of every motif.
    pub motif_pictures: Vec<MotifPicture>,
    /// The whole quilt, where the plan has one.
    pub quilt: Option<Scene>,
    /// Where the motifs go on it.
    pub placement_guide: Option<Scene>,
    /// The template sheets.
    pub templates: Templates,
}

impl Drawings {
    /// Draws a plan, side by side on the threads of the calling pool.
    ///
    /// # Errors
    /// A plan that cannot be drawn.
    pub fn new(plan: &Plan, paper: Paper, method: Method) -> Result<Self, DrawError> {
        let has_quilt = plan.quilt.is_some();
        let maps = || -> Result<Vec<_>, DrawError> {
            let fabrics = plan.fabrics.iter();
            fabrics
                .map(|fabric| map_for(plan, &fabric.name, paper, method))
                .collect()
        };
        let top = || -> Result<_, DrawError> {
            let whole = has_quilt.then(|| quilt(plan)).transpose()?;
            let guide = has_quilt.then(|| placement_guide(plan)).transpose()?;
            Ok((motif_pictures(plan)?, whole, guide))
        };
        let (maps, (top, templates)) = rayon::join(maps, || {
            rayon::join(top, || templates(plan, paper, method, Stripes::Shown))
        });
        let (motif_pictures, quilt, placement_guide) = top?;
        Ok(Self {
            maps: maps?,
            motif_pictures,
            quilt,
            placement_guide,
            templates: templates?,
        })
    }
}
