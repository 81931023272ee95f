//! Honest instruments: how tapes, finders and people really read, and the zero offsets of tapes.
//!
//! The variance ratio of a group is found over stated variance, 1 where the stated deviations are right. It is a
//! variance component (see [`mod@components`]): what the group scatters by itself, with the others weighted by how they
//! were found to read, once over the instruments and once over the people. Readings without one are a group of their
//! own there, which is not told. Only the report is weighted anew; the coordinates stay as the stated deviations have
//! them. Readings that are held out are not in it: the ratio is of those that are used.
//!
//! For an honest group the ratio is nearly chi-square over its degrees of freedom, and these are fewer than the sum of
//! its redundancies by what it shares with the others. Where nothing is shared, with one instrument or one person for
//! all, it is Σ (v/σ)² over Σ r.
//!
//! A zero offset can be told from the size of the shell because it does not grow with the length. Where the readings
//! cannot carry it, it is an unknown that the factor pins, and it is not told.

mod components;

use crate::quantiles::chi_square_quantile;
use crate::report::Told;
use crate::result::Tested;
use components::{Component, components};

/// How an instrument behaves in this survey.
#[derive(Debug, Clone, PartialEq)]
pub struct InstrumentBehaviour {
    /// Index into the survey's instruments.
    pub instrument: usize,
    /// Readings in use.
    pub readings: usize,
    /// Sum of their redundancies.
    pub redundancy: f64,
    /// Found over stated variance.
    pub variance_ratio: Option<f64>,
    /// Where the ratio lies 95 times in 100 for an honest instrument.
    pub band_95: Option<[f64; 2]>,
    /// Stated standard deviation, root mean square.
    pub said_sd: f64,
    /// The standard deviation it behaves like.
    pub behaves_like_sd: Option<f64>,
    /// What must be added to its readings beyond the zero offset that was said, mm. `None` where that was not asked
    /// for ([`Settings::estimate_offsets`](crate::Settings::estimate_offsets)), or the readings cannot carry it.
    pub offset: Option<Tested>,
}

/// How a person reads in this survey, with whatever instrument.
#[derive(Debug, Clone, PartialEq)]
pub struct PersonBehaviour {
    /// Who, as the readings name them.
    pub name: String,
    /// Readings in use.
    pub readings: usize,
    /// Readings of theirs that are held out.
    pub held_out: usize,
    /// Sum of the redundancies of those in use.
    pub redundancy: f64,
    /// Found over stated variance. Its root is how many times as wide as said the readings scatter.
    pub variance_ratio: Option<f64>,
    /// Where the ratio lies 95 times in 100 for an honest reader.
    pub band_95: Option<[f64; 2]>,
}

/// The readings in use of a group.
#[derive(Debug, Clone, Copy, Default)]
struct Group {
    readings: usize,
    redundancy: f64,
    /// Sum of the stated variances.
    said: f64,
    component: Option<Component>,
}

impl Group {
    fn ratio(&self) -> Option<f64> {
        self.component.map(|it| it.ratio)
    }

    fn band(&self) -> Option<[f64; 2]> {
        self.component
            .map(|it| [0.025, 0.975].map(|p| chi_square_quantile(p, it.freedom) / it.freedom))
    }
}

impl Told<'_> {
    /// The instruments with readings in use, in the order of the survey.
    pub(crate) fn instruments(&self) -> Vec<InstrumentBehaviour> {
        self.groups(self.survey.instruments.len(), |reading| reading.instrument)
            .into_iter()
            .enumerate()
            .filter_map(|(instrument, group)| {
                if group.readings == 0 {
                    return None;
                }
                let said_sd = (group.said / group.readings as f64).sqrt();
                Some(InstrumentBehaviour {
                    instrument,
                    readings: group.readings,
                    redundancy: group.redundancy,
                    variance_ratio: group.ratio(),
                    band_95: group.band(),
                    said_sd,
                    behaves_like_sd: group.ratio().map(|ratio| said_sd * ratio.sqrt()),
                    offset: self.offset(instrument),
                })
            })
            .collect()
    }

    /// Everyone who is named, by name.
    pub(crate) fn people(&self) -> Vec<PersonBehaviour> {
        let mut names: Vec<&str> = self.survey.readings.iter().map(|r| r.by.trim()).collect();
        names.sort_unstable();
        names.dedup();
        names.retain(|name| !name.is_empty());
        self.groups(names.len(), |reading| {
            names.binary_search(&reading.by.trim()).ok()
        })
        .into_iter()
        .zip(&names)
        .map(|(group, &name)| {
            let held_out = self
                .network
                .observations
                .iter()
                .zip(&self.fit.active)
                .filter(|(o, active)| {
                    !**active && !o.set_aside && self.survey.readings[o.reading].by.trim() == name
                })
                .count();
            PersonBehaviour {
                name: name.to_owned(),
                readings: group.readings,
                held_out,
                redundancy: group.redundancy,
                variance_ratio: group.ratio(),
                band_95: group.band(),
            }
        })
        .collect()
    }

    /// The readings in use by group.
    fn groups(&self, count: usize, of: impl Fn(&survey::Reading) -> Option<usize>) -> Vec<Group> {
        let mut groups = vec![Group::default(); count];
        if count == 0 {
            return groups;
        }
        let group: Vec<Option<usize>> = self
            .network
            .observations
            .iter()
            .map(|o| of(&self.survey.readings[o.reading]))
            .collect();
        for (index, o) in self.network.observations.iter().enumerate() {
            let Some(group) = group[index]
                .filter(|_| self.fit.active[index])
                .map(|k| &mut groups[k])
            else {
                continue;
            };
            group.readings += 1;
            group.redundancy += self.fit.rows[index].redundancy.unwrap_or(0.0);
            group.said += o.sd * o.sd;
        }
        for (group, component) in groups
            .iter_mut()
            .zip(components(self.network, self.fit, &group, count))
        {
            group.component = component;
        }
        groups
    }

    fn offset(&self, instrument: usize) -> Option<Tested> {
        let unknown = self.network.offsets.iter().position(|&i| i == instrument)?;
        let used = self
            .network
            .observations
            .iter()
            .zip(&self.fit.active)
            .any(|(o, active)| *active && o.offset == Some(unknown));
        let column = self.network.offset_column[unknown];
        if !used || !self.fit.determined(&[column], &[1.0]) {
            return None;
        }
        let variance = self.fit.inverse_times(&[(column, 1.0)])[column] * self.variance_scale();
        Some(Tested::of(self.fit.at.offsets[unknown], variance.max(0.0).sqrt()))
    }
}
