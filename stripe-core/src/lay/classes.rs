//! Kinds that are one and the same to a layout.
//!
//! A fan's wedges are a kind each, for each has its own place in the motif; but where the
//! fabric may be turned or is the same from left and from right, the four wedges of a wheel
//! are laid in the same ways. Whoever tells them apart looks at every layout as often as
//! there are ways to exchange them, and of eight layouts side by side two are left.

use super::instance::{Instance, LinePlacement};

/// The classes of an instance with one offset (`stride == 1`), where orientations with one table class may
/// take the same lines.
#[derive(Debug)]
pub(crate) struct Classes {
    /// The class of each kind.
    of_kind: Vec<usize>,
    /// One orientation for each way in which the pieces of a class may lie.
    pub(crate) orientations: Vec<Vec<usize>>,
}

impl Classes {
    /// Compares the kinds of an instance.
    pub(crate) fn new(instance: &Instance) -> Self {
        let mut known: Vec<Vec<usize>> = Vec::new();
        let mut classes = Self {
            of_kind: Vec::new(),
            orientations: Vec::new(),
        };
        for orientations in &instance.kinds {
            let mut ways: Vec<(usize, usize)> = orientations
                .clone()
                .map(|f| (instance.orientations[f].table_class, f))
                .collect();
            ways.sort_unstable();
            ways.dedup_by_key(|way| way.0);
            let table_classes: Vec<usize> = ways.iter().map(|way| way.0).collect();
            let class = known.iter().position(|other| *other == table_classes);
            let class = class.unwrap_or_else(|| {
                known.push(table_classes);
                classes
                    .orientations
                    .push(ways.iter().map(|way| way.1).collect());
                known.len() - 1
            });
            classes.of_kind.push(class);
        }
        classes
    }

    /// The class of a kind.
    pub(crate) fn of(&self, kind: usize) -> usize {
        self.of_kind[kind]
    }

    /// How many items there are of each class.
    pub(crate) fn copies(&self, instance: &Instance) -> Vec<u32> {
        let mut copies = vec![0; self.orientations.len()];
        for &(kind, _) in &instance.items {
            copies[self.of_kind[kind]] += 1;
        }
        copies
    }

    /// Placements of classes, in any order, given to the items of those classes: one placement an
    /// item, on orientations of its own kind. `None` if there are too few.
    pub(crate) fn places(
        &self,
        instance: &Instance,
        laid: &[(usize, LinePlacement)],
    ) -> Option<Vec<LinePlacement>> {
        let mut of_class: Vec<Vec<LinePlacement>> = vec![Vec::new(); self.orientations.len()];
        for &(class, placement) in laid.iter().rev() {
            of_class[class].push(placement);
        }
        let items = instance.items.iter();
        items
            .map(|&(kind, _)| {
                let placement = of_class[self.of_kind[kind]].pop()?;
                let table_class = instance.orientations[placement.orientation as usize].table_class;
                let orientation = instance.kinds[kind]
                    .clone()
                    .find(|&f| instance.orientations[f].table_class == table_class)?;
                let orientation = orientation as u32;
                Some(LinePlacement {
                    orientation,
                    ..placement
                })
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::trial::odd_pieces;

    /// A kind whose ways are another's in another order is one with it, and its pieces come
    /// to lie on orientations of their own; one that stands elsewhere in the stripe is not.
    #[test]
    fn kinds_laid_in_the_same_ways_are_one() {
        let mut job = odd_pieces(8, 0, 0.0, 1);
        let ways = job.kinds[0].poses.clone();
        job.kinds[1].poses = vec![ways[1], ways[0]];
        job.kinds[2].poses = ways;
        job.kinds[2].poses[0].residue_mm += 3.0;
        let instance = Instance::new(&job).unwrap();
        let classes = Classes::new(&instance);
        assert_eq!(classes.of(0), classes.of(1));
        assert_ne!(classes.of(0), classes.of(2));
        let copies = classes.copies(&instance);
        assert_eq!(copies.iter().sum::<u32>(), 8);
        assert_eq!(copies[classes.of(0)], 4);
        // All pieces on the orientations of the first kind of their class.
        let laid: Vec<(usize, LinePlacement)> = (0..8)
            .map(|item| {
                let class = classes.of(instance.items[item].0);
                let orientation = classes.orientations[class]
                    [item / 4 % classes.orientations[class].len()]
                    as u32;
                let v = item as f64;
                (
                    class,
                    LinePlacement {
                        orientation,
                        line: 0,
                        v,
                    },
                )
            })
            .collect();
        let placements = classes.places(&instance, &laid).unwrap();
        let table_class = |placement: &LinePlacement| {
            instance.orientations[placement.orientation as usize].table_class
        };
        for (item, placement) in placements.iter().enumerate() {
            assert!(
                instance.kinds[instance.items[item].0].contains(&(placement.orientation as usize))
            );
        }
        // Every place is taken once, by a piece of the same outline.
        let mut places: Vec<_> = placements
            .iter()
            .map(|s| (s.v as i64, table_class(s)))
            .collect();
        places.sort_unstable();
        let wanted: Vec<_> = laid
            .iter()
            .map(|(_, s)| (s.v as i64, table_class(s)))
            .collect();
        assert_eq!(places, wanted);
        assert_eq!(classes.places(&instance, &laid[1..]), None);
    }
}
