//! Honest instruments: how tapes, finders and people really read, and the zero offsets of tapes.
//!
//! A group's variance ratio is Σ (v/σ)² over Σ r, its readings' squared residuals against the share of them that is
//! checked: the simple estimate of a variance component (W. Förstner 1979; K. R. Koch, *Parameter estimation and
//! hypothesis testing in linear models*, 1999, 3.6). It is 1 where the stated deviations are right, and for an honest
//! group nearly chi-square over its Σ r. Readings that are held out are not in it: the ratio is of those that are
//! used. One solution gives a group that is much worse than was said too small a ratio, and those that check it too
//! large a one: what it behaves like is then put into its sheet, and the survey solved again.
//!
//! A zero offset can be told from the size of the shell because it does not grow with the length. Where the readings
//! cannot carry it, it is an unknown that the factor pins, and it is not told.

use crate::quantiles::chi_square_quantile;
use crate::report::Told;
use crate::result::Tested;

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
    weighted: f64,
    said: f64,
}

impl Group {
    fn ratio(&self) -> Option<f64> {
        (self.redundancy > 0.5).then(|| self.weighted / self.redundancy)
    }

    fn band(&self) -> Option<[f64; 2]> {
        self.ratio()
            .map(|_| [0.025, 0.975].map(|p| chi_square_quantile(p, self.redundancy) / self.redundancy))
    }
}

impl Told<'_> {
    /// The instruments with readings in use, in the order of the survey.
    pub(crate) fn instruments(&self) -> Vec<InstrumentBehaviour> {
        (0..self.survey.instruments.len())
            .filter_map(|instrument| {
                let group = self.group(|reading| reading.instrument == Some(instrument));
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
        names
            .into_iter()
            .filter(|name| !name.is_empty())
            .map(|name| {
                let group = self.group(|reading| reading.by.trim() == name);
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

    fn group(&self, of: impl Fn(&survey::Reading) -> bool) -> Group {
        let mut group = Group::default();
        for (index, o) in self.network.observations.iter().enumerate() {
            if !self.fit.active[index] || !of(&self.survey.readings[o.reading]) {
                continue;
            }
            let row = &self.fit.rows[index];
            group.readings += 1;
            group.redundancy += row.redundancy.unwrap_or(0.0);
            group.weighted += (row.misfit / o.sd).powi(2);
            group.said += o.sd * o.sd;
        }
        group
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
