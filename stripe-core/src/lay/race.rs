//! Which offsets are worth a search: a race of beams.
//!
//! Where offsets are free, the layouts at one are some per cent shorter than at another, and
//! a largest-first layout does not tell which. A beam does, in some hundredths of a second:
//! every choice of offsets gets one, and a few stay in the field. From then on one of them
//! gets a beam with parameters near the best that it has had, or its best layouts are built anew in
//! part (`recreate`), or a neighbour takes its place: a choice that differs in one group. Where
//! there is nothing to choose, one instance gets all of it. Instances of fixed offsets have few
//! lines, so the search that follows is quick there, and may build new layouts whenever it
//! stands still.
//!
//! **Evenly spread.** Copies of one motif with an offset each are groups that hold the same
//! pieces. Where their offsets are a whole part of the repeat apart, lines stand so much closer together
//! for such pieces, in equal steps, and a pattern of them can go on across the whole fabric;
//! offsets drawn by chance hardly ever come to it. Some first choices are of this kind.
//!
//! **Rows.** The first choices are laid in rows of one height, too (`level_rows`). Where
//! these are shorter than the beam's layout all further choices are; else rows cost nothing any more.

use super::beam_parameters::BeamParameters;
use super::data::{Job, Lock, Pose};
use super::effort::{Control, Effort, Progress};
use super::instance::{Instance, LinePlacement};
use super::level_rows::LevelRows;
use super::outline::UNITS_PER_MM;
use super::recreate::{BeamContexts, Ruin};
use super::starts::{Found, MOST_GROUPS, Start, shared_offsets, with_offsets};
use crate::rng::Rng;
use rayon::prelude::*;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Mutex, PoisonError};

/// So many choices stay in the race, with their instances.
const KEPT: usize = 4;

/// Filling one line of a table takes about as long as so much of a beam's work; as a rule half
/// of all lines are asked for.
const LINE: u64 = 60;

/// An instance costs no more than so many beams, whatever is reckoned.
const MOST_INSTANCE: u64 = 30;

/// This part of a race goes into first choices of offsets.
const BEGIN_PERCENT: u64 = 35;

/// Where groups hold the same pieces, one first choice in so many is of offsets evenly spread.
const EVENLY: usize = 6;

/// So many choices are laid in rows before it is known whether rows are worth it.
const ROWS_TRIED: usize = 2;

/// Rows look at a pair in about the time of so much of a beam's work.
const LOOK: u64 = 6;

/// Rows at one choice of offsets take no more than this part of a race.
const ROWS_PART: u64 = 8;

/// So many of five parameter sets are new, the others near the best.
const NEW_PARAMETER_SETS: usize = 2;

/// Where stripes run across, a first layout is so many beams, each for a shorter one.
const ACROSS: usize = 3;

/// Tries of one turn of the race, side by side: with other parameters, and of other offsets.
const PARAMETER_SETS: usize = 8;
const OTHERS: usize = 4;

/// One layout in so many is built from the beginning, the others from a part of a known one.
const WHOLE: usize = 3;

/// Layouts whose lengths (units) are nearer to each other than this count as one.
const SAME: f64 = 50.0;

/// Of the layouts on one instance so many are kept.
const LAYS: usize = 3;

/// A choice of offsets, with the layouts found so far, shortest first.
struct Runner {
    rank: usize,
    offsets_mm: Vec<f64>,
    instance: Instance,
    contexts: BeamContexts,
    layouts: Vec<Found>,
    /// Whether rows were shorter than its first beam.
    is_in_rows: bool,
    /// With which parameters the shortest was found.
    parameters: BeamParameters,
}

impl Runner {
    fn length(&self) -> f64 {
        self.layouts[0].length
    }

    fn take(&mut self, lay: Found, parameters: BeamParameters) {
        if lay.length < self.length() {
            self.parameters = parameters;
        }
        // A layout found again, or one a hair longer, tells nothing new.
        let is_near = |known: &Found| (known.length - lay.length).abs() < SAME;
        if let Some(known) = self.layouts.iter_mut().find(|known| is_near(known)) {
            if lay.length < known.length {
                *known = lay;
            }
        } else {
            self.layouts.push(lay);
        }
        self.layouts.sort_by(|a, b| a.length.total_cmp(&b.length));
        self.layouts.truncate(LAYS);
    }
}

/// The instances of the offsets that won, to follow those `known` already, best first layout
/// first, and the layouts on them.
/// None where there is nothing to choose or no beam can be laid.
pub(crate) fn race(
    job: &Job,
    known: &[Start],
    effort: &Effort,
    control: &Control<'_>,
) -> (Vec<Start>, Vec<Found>) {
    let none = (Vec::new(), Vec::new());
    let is_striped = matches!(job.lock, Lock::Lines { .. });
    if !is_striped || job.groups > MOST_GROUPS || job.items.len() < 3 {
        return none;
    }
    let longest = known[0].length;
    let Some((beam, new)) = costs(job, longest) else {
        return none;
    };
    let work = effort.race_work();
    let beams = work / beam;
    let mut race = Race {
        job,
        control,
        pool: shared_offsets(job),
        rng: Rng::new(effort.seed),
        runners: Vec::new(),
        only: (job.groups == 0).then_some(&known[0].instance),
        longest,
        new: new as f64,
        rows: Rows {
            are_tried: true,
            most: work / ROWS_PART / LOOK,
            beam: beam as f64,
            tries: 0,
            looks: AtomicU64::new(0),
        },
        tried: 0,
    };
    race.begin((beams * BEGIN_PERCENT / 100) as f64);
    let mut spent = race.tried as f64 * race.new;
    let left = |race: &Race<'_>, spent: f64| beams as f64 - spent - race.rows.beams();
    while left(&race, spent) >= 1.0 && !race.runners.is_empty() && !control.is_stopped() {
        spent += race.turn(left(&race, spent));
        let share = 1.0 - left(&race, spent) / beams as f64;
        race.tell(effort.race_share() * share.clamp(0.0, 1.0));
    }
    let mut layouts = Vec::new();
    let runners = race.runners.into_iter().enumerate();
    let instances = runners.map(|(i, runner)| {
        let best = runner.layouts[0].clone();
        let at = known.len() + i;
        layouts.extend(runner.layouts.into_iter().map(|lay| Found {
            instance: at,
            ..lay
        }));
        Start {
            instance: runner.instance,
            contexts: Some(runner.contexts),
            offsets_mm: runner.offsets_mm,
            placements: best.placements,
            offsets: best.offsets,
            length: best.length,
        }
    });
    (instances.collect(), layouts)
}

/// What a beam costs, and how many beams a new choice of offsets costs, its instance's tables
/// among them; `None` where no beam can be laid.
fn costs(job: &Job, longest: f64) -> Option<(u64, usize)> {
    let Lock::Lines { repeat_mm } = job.lock else {
        return None;
    };
    // As a rule all offsets differ, and with them the tables; not all may be open to all.
    let apart = |group| repeat_mm * group as f64 / job.groups as f64;
    let choices = [(0..job.groups).map(apart).collect(), vec![0.0; job.groups]];
    choices.iter().find_map(|offsets| {
        let fixed = with_offsets(job, offsets);
        let instance = Instance::with_stride(&fixed, 1).ok()?;
        let contexts = BeamContexts::new(&fixed, &instance)?;
        let beam = contexts.work(&instance, longest);
        let tries = match contexts {
            BeamContexts::Along(_) => 1,
            BeamContexts::Across(_) => ACROSS,
        };
        let tables = (LINE * instance.table_lines())
            .div_ceil(beam)
            .min(MOST_INSTANCE);
        Some((beam, tries + tables as usize))
    })
}

/// What rows have cost so far, and whether they are worth it.
struct Rows {
    are_tried: bool,
    /// Looks at one choice of offsets, at most.
    most: u64,
    /// What a beam costs.
    beam: f64,
    /// Choices laid in rows, and looks in all.
    tries: usize,
    looks: AtomicU64,
}

impl Rows {
    /// What they took, in beams.
    fn beams(&self) -> f64 {
        (LOOK * self.looks.load(Ordering::Relaxed)) as f64 / self.beam
    }

    /// What they take for one choice of offsets, in beams.
    fn beams_each(&self) -> f64 {
        if self.are_tried {
            self.beams() / self.tries.max(1) as f64
        } else {
            0.0
        }
    }
}

struct Race<'a> {
    job: &'a Job,
    control: &'a Control<'a>,
    /// Offsets at which a piece just touches a selvage, and an even grid (mm).
    pool: Vec<f64>,
    rng: Rng,
    runners: Vec<Runner>,
    /// The one instance, with its tables, where there are no offsets to choose.
    only: Option<&'a Instance>,
    /// The length (units) of a layout that is known.
    longest: f64,
    /// What a choice of offsets costs without rows, in beams.
    new: f64,
    rows: Rows,
    /// Choices of offsets tried so far.
    tried: usize,
}

impl Race<'_> {
    /// Lets choices of any kind run, as many as so many beams pay for: evenly spread ones first,
    /// where there are any, and all alike.
    fn begin(&mut self, beams: f64) {
        let count = ((beams / self.new) as usize).clamp(1, 500);
        let groups = self.job.groups;
        let mut pool = self.pool.clone();
        self.rng.shuffle(&mut pool);
        let alike = match groups {
            0 => 1,
            1 => count,
            _ => count.div_ceil(3),
        };
        let evenly = if hold_the_same(self.job) {
            count.div_ceil(EVENLY)
        } else {
            0
        };
        let mut choices: Vec<Vec<f64>> = Vec::new();
        for &first in pool.iter().take(evenly) {
            choices.push(spread(first, self.repeat(), groups));
        }
        for &offset in pool.iter().take(alike) {
            choices.push(vec![offset; groups]);
        }
        if groups > 1 {
            while choices.len() < count {
                choices.push((0..groups).map(|_| self.any_offset()).collect());
            }
        }
        // All with the same parameters, so that offsets are compared and not parameters.
        let parameters = BeamParameters::any(self.rng.bits());
        let mut choices: Vec<(Vec<f64>, BeamParameters)> = choices
            .into_iter()
            .map(|choice| (choice, parameters))
            .collect();
        let mut others = choices.split_off(choices.len().min(ROWS_TRIED));
        let first = choices.len() as f64;
        self.try_offsets(choices);
        self.rows.are_tried = self.runners.iter().any(|runner| runner.is_in_rows);
        // What rows cost is not paid for by others.
        let left = beams - first * self.new - self.rows.beams();
        let paid = (left / (self.new + self.rows.beams_each())).max(0.0);
        if self.rows.are_tried {
            others.truncate(paid as usize);
        }
        self.try_offsets(others);
    }

    /// Builds layouts on the instances in the field, the shortest most often, some of them from
    /// parts of known ones; and tries other offsets; as much of it as there are beams left.
    /// Returns the beams that it took, without those for rows.
    fn turn(&mut self, beams: f64) -> f64 {
        let items = self.job.items.len();
        let mut spent = 0.0;
        let mut tries: Vec<(usize, usize, Ruin, BeamParameters)> = Vec::new();
        while spent < beams.min(PARAMETER_SETS as f64) {
            let at = self.good();
            let runner = &self.runners[at];
            let parameters = if self.rng.below(5) < NEW_PARAMETER_SETS {
                BeamParameters::any(self.rng.bits())
            } else {
                runner.parameters.near(&mut self.rng)
            };
            let lay = self.rng.below(runner.layouts.len());
            let ruin = if self.rng.below(WHOLE) == 0 {
                Ruin::ALL
            } else {
                Ruin::any(&mut self.rng, items)
            };
            spent += ruin.share(items);
            tries.push((at, lay, ruin, parameters));
        }
        let found: Vec<Option<Found>> = tries
            .par_iter()
            .map(|&(at, lay, ruin, parameters)| {
                let runner = &self.runners[at];
                let (from, instance) = (&runner.layouts[lay], &runner.instance);
                let (placements, length) = (&from.placements, from.length);
                let contexts = &runner.contexts;
                let placements =
                    contexts.recreate(instance, placements, length, ruin, parameters, self.control);
                placements.map(|placements| self.found(instance, placements))
            })
            .collect();
        for ((at, _, _, parameters), lay) in tries.into_iter().zip(found) {
            if let Some(lay) = lay {
                self.runners[at].take(lay, parameters);
            }
        }
        if self.job.groups == 0 {
            return spent;
        }
        sort(&mut self.runners);
        let mut choices: Vec<(Vec<f64>, BeamParameters)> = Vec::new();
        let paid = (beams - spent).max(0.0) / (self.new + self.rows.beams_each());
        let others = OTHERS.min(paid as usize);
        for _ in 0..others {
            let at = self.good();
            let mut offsets = self.runners[at].offsets_mm.clone();
            let group = self.rng.below(offsets.len());
            offsets[group] = self.any_offset();
            let is_known = |offsets: &Vec<f64>| {
                let mut runners = self.runners.iter().map(|runner| &runner.offsets_mm);
                runners.any(|other| other == offsets) || choices.iter().any(|c| c.0 == *offsets)
            };
            if !is_known(&offsets) {
                let parameters = self.runners[at].parameters;
                choices.push((offsets, parameters));
            }
        }
        self.try_offsets(choices);
        spent + others as f64 * self.new
    }

    /// Says how far it has come.
    fn tell(&self, share: f64) {
        if let (Some(progress), Some(best)) = (self.control.progress, self.runners.first()) {
            progress(Progress {
                what: "",
                share,
                length_mm: best.length().min(self.longest) / UNITS_PER_MM,
                moves: 0,
            });
        }
    }

    /// One in the field, the better ones more often.
    fn good(&mut self) -> usize {
        let a = self.rng.below(self.runners.len());
        let b = self.rng.below(self.runners.len());
        a.min(b)
    }

    /// One of the pool, or any other.
    fn any_offset(&mut self) -> f64 {
        if self.rng.below(3) == 0 {
            self.repeat() * self.rng.below(64) as f64 / 64.0
        } else {
            self.pool[self.rng.below(self.pool.len())]
        }
    }

    fn repeat(&self) -> f64 {
        match self.job.lock {
            Lock::Lines { repeat_mm } => repeat_mm,
            _ => 0.0,
        }
    }

    fn found(&self, instance: &Instance, placements: Vec<LinePlacement>) -> Found {
        Found::new(0, instance, placements, vec![0; self.job.groups])
    }

    /// The shortest layout in rows that is not much longer than `longest` (units).
    fn in_rows(&self, instance: &Instance, longest: f64) -> Option<Found> {
        if !self.rows.are_tried {
            return None;
        }
        let mut rows = LevelRows::new(instance, self.rows.most)?;
        let placements = rows.lay(longest, &|| self.control.is_stopped());
        self.rows.looks.fetch_add(rows.looks, Ordering::Relaxed);
        Some(self.found(instance, placements?))
    }

    /// A beam, and rows, at each of some choices; the best of them and of those in the field stay.
    ///
    /// Besides those there are no more instances at a time than threads.
    fn try_offsets(&mut self, choices: Vec<(Vec<f64>, BeamParameters)>) {
        let first = self.tried;
        // Rows begin with the height of what is known before any of these is laid, whichever comes first.
        let known = self.runners.first().map_or(self.longest, Runner::length);
        if self.rows.are_tried {
            self.rows.tries += choices.len();
        }
        self.tried += choices.len();
        let kept = Mutex::new(std::mem::take(&mut self.runners));
        let lock = || kept.lock().unwrap_or_else(PoisonError::into_inner);
        let try_one = |(number, (offsets_mm, parameters)): (usize, (Vec<f64>, BeamParameters))| {
            if self.control.is_stopped() {
                return;
            }
            let fixed = with_offsets(self.job, &offsets_mm);
            let instance = match &self.only {
                Some(instance) => Ok(instance.with_width(instance.width())),
                None => Instance::with_stride(&fixed, 1),
            };
            let Ok(instance) = instance else {
                return;
            };
            let Some(contexts) = BeamContexts::new(&fixed, &instance) else {
                return;
            };
            let Some(placements) =
                contexts.create(&instance, self.longest, parameters, self.control)
            else {
                return;
            };
            let mut layouts = vec![self.found(&instance, placements)];
            let longest = known.min(layouts[0].length);
            let rows = self.in_rows(&instance, longest);
            let is_in_rows = rows.as_ref().is_some_and(|lay| lay.length < longest);
            if let Some(lay) = rows {
                layouts.push(lay);
                layouts.sort_by(|a, b| a.length.total_cmp(&b.length));
            }
            let mut kept = lock();
            kept.push(Runner {
                rank: first + number,
                offsets_mm,
                instance,
                contexts,
                layouts,
                is_in_rows,
                parameters,
            });
            // Whoever comes first, the same ones are kept.
            sort(&mut kept);
            kept.truncate(KEPT);
        };
        choices.into_par_iter().enumerate().for_each(try_one);
        self.runners = kept.into_inner().unwrap_or_else(PoisonError::into_inner);
    }
}

/// Offsets (mm) a whole part of the repeat apart, from `first` on.
fn spread(first: f64, repeat: f64, groups: usize) -> Vec<f64> {
    let at = |group| first + repeat * group as f64 / groups as f64;
    (0..groups)
        .map(|group| crate::num::wrap(at(group), repeat))
        .collect()
}

/// Whether there are several groups, all of the same pieces.
fn hold_the_same(job: &Job) -> bool {
    let pieces = |group: usize| {
        let own = job.items.iter().filter(|item| item.group == Some(group));
        let ways = own.map(|item| {
            let poses = job.kinds[item.kind].poses.iter();
            let bits = |x: f64| x.to_bits();
            let way = |p: &Pose| (p.shape, bits(p.residue_mm), bits(p.along_mm), bits(p.sign));
            poses.map(way).collect::<Vec<_>>()
        });
        let mut ways: Vec<_> = ways.collect();
        ways.sort_unstable();
        ways
    };
    job.groups > 1 && (1..job.groups).all(|group| pieces(group) == pieces(0))
}

fn sort(runners: &mut [Runner]) {
    runners.sort_by(|a, b| {
        let length = a.length().total_cmp(&b.length());
        length.then(a.rank.cmp(&b.rank))
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::guided_search::is_valid;
    use crate::lay::starts::starts;
    use crate::lay::trial::{WEDGE_ROWS_MM, odd_pieces, wedges};
    use std::f64::consts::FRAC_PI_2;

    /// Stripes along and across, with and without free offsets: what wins are layouts, each
    /// on its own instance, the same ones on one thread and on three.
    #[test]
    fn the_same_layouts_win_on_any_number_of_threads() {
        let odd = [(0, 0.0), (1, 0.0), (2, 0.0), (2, FRAC_PI_2), (0, FRAC_PI_2)];
        let odd = odd.map(|(groups, normal_rad)| odd_pieces(16, groups, normal_rad, 7));
        for job in odd.into_iter().chain([wedges()]) {
            let (groups, normal_rad) = (job.groups, job.window.normal_rad);
            let effort = Effort {
                work: 100_000,
                ..Effort::quick(3)
            };
            let on = |threads: usize| {
                let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
                let control = Control::default();
                let run = || {
                    let known = starts(&job, &control).unwrap();
                    let (new, layouts) = race(&job, &known, &effort, &control);
                    (known.len(), new, layouts)
                };
                pool.build().unwrap().install(run)
            };
            let (known, instances, layouts) = on(1);
            assert!(!layouts.is_empty(), "{groups} groups, {normal_rad}");
            for lay in &layouts {
                let instance = &instances[lay.instance - known].instance;
                assert!(is_valid(instance, &lay.placements, lay.length));
            }
            let (_, others, again) = on(3);
            let offsets = |instances: &[Start]| -> Vec<Vec<f64>> {
                instances.iter().map(|s| s.offsets_mm.clone()).collect()
            };
            assert_eq!(offsets(&instances), offsets(&others));
            let told = |layouts: &[Found]| -> Vec<(usize, Vec<LinePlacement>)> {
                layouts
                    .iter()
                    .map(|l| (l.instance, l.placements.clone()))
                    .collect()
            };
            assert_eq!(told(&layouts), told(&again));
        }
    }

    /// Wedges of equal motifs find the offsets and the rows that a pencil finds, whatever chance says.
    #[test]
    fn offsets_evenly_spread_let_wedges_hang() {
        let job = wedges();
        assert!(hold_the_same(&job));
        assert!(!hold_the_same(&odd_pieces(16, 2, 0.0, 7)));
        assert!(!hold_the_same(&odd_pieces(16, 1, 0.0, 7)));
        assert_eq!(spread(25.0, 30.0, 4), [25.0, 2.5, 10.0, 17.5]);
        for seed in 0..3 {
            let effort = Effort {
                work: 200_000,
                ..Effort::quick(seed)
            };
            let control = Control::default();
            let known = starts(&job, &control).unwrap();
            let (_, layouts) = race(&job, &known, &effort, &control);
            let lengths = layouts.iter().map(|lay| lay.length / UNITS_PER_MM);
            let least = lengths.fold(f64::INFINITY, f64::min);
            assert!(least < WEDGE_ROWS_MM + 0.1, "{least}");
        }
    }
}
