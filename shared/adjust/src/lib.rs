//! From the readings of a shell survey to trusted points.
//!
//! Two people tape a bare shell: some two hundred distances between forty points, a few slopes, rises and angles.
//! This crate turns them into coordinates, says how sure each is, and which readings do not agree with the rest.
//! It does not read files, keep a log or draw; it has no clock, no randomness and no threads, so the same survey
//! gives the same digits whatever the order of entry.
//!
//! ```
//! use survey::{SheetText, Sheets, read_sheets};
//!
//! // Five points, all ten distances: the least figure in space that has any check at all.
//! let sheet = b"id,kind,a,b,value\n\
//!     1,tape,floor L,floor R,1000 mm\n2,tape,floor L,sill L,600 mm\n3,tape,floor R,sill L,1166.2 mm\n\
//!     4,tape,floor L,header,900 mm\n5,tape,floor R,header,1345.4 mm\n6,tape,sill L,header,1081.7 mm\n\
//!     7,tape,floor L,strut,1475.1 mm\n8,tape,floor R,strut,1085.2 mm\n9,tape,sill L,strut,1345.4 mm\n\
//!     10,tape,header,strut,1166.2 mm\n";
//! let readings = SheetText { name: "readings.csv", bytes: sheet };
//! let (survey, problems) = read_sheets(&Sheets { readings, points: None, instruments: None, unit: None });
//! assert!(problems.is_empty());
//! let adjustment = adjust::adjust(&survey.expect("a good sheet"), &adjust::Settings::default())?;
//! assert_eq!(adjustment.summary.degrees_of_freedom, 1);
//! # Ok::<(), adjust::Unsolvable>(())
//! ```
//!
//! # The mathematics, in the order it happens
//!
//! **Observation equations** (`observe`). Each kind of reading is a function of the points it touches and, for
//! slopes and rises, of the plumb direction of its stand: two more unknowns a stand. A residual is v = adjusted −
//! observed.
//!
//! **Start** (`start`). Least squares needs a beginning near the truth. Rough positions serve where they are;
//! otherwise the distances alone do, first in five dimensions and then squeezed into three (see the module for
//! the sources). Shortest-path scaling by itself is no start: far pairs are overrated, and a floor frame that is
//! flat to a finger's width leaves the sign of every height open.
//!
//! **Least squares** (`solve`). Minimise Σ (v/σ)². With the design matrix A, weights P = diag(1/σ²) and normal
//! matrix N = AᵀPA (E. M. Mikhail, *Observations and Least Squares*, 1976), damped Gauss–Newton steps on sparse
//! normal equations.
//!
//! **Datum** (`gauge`). Distances do not say where the shell lies: N has up to six null directions. Rows over
//! three anchor points fix just those, and change no residual. The coordinates go to the frame asked for together
//! with their covariance (`frames`).
//!
//! **What is free** (`sparse`, `fit`). A point with two tapes can swing. Such motions show as vanishing pivots of
//! the factor; each gives one vector, and the points that it moves are loose, with their directions. Their
//! coordinates are not given.
//!
//! **How sure** (`fit`). Q = N⁻¹ on the pattern of the factor only, by the recursion of Takahashi; everything else
//! by single solves. For a reading with row a: the redundancy number r = 1 − aQaᵀ/σ² is the share of it that the
//! others check, and Σ r is the degrees of freedom.
//!
//! **Tests** (`doubts`). w = v/(σ√r) is standard normal for a good reading (W. Baarda 1968). A slip ∇ shifts it by
//! ∇√r/σ, so the smallest slip seen with 80 % power is σ (z + 0.8416)/√r. The critical value z grows with the
//! number of readings ([`critical_w`]). A tape's class error is much the same in all its readings; it is not noise,
//! no residual shows it, and it acts on the scale of the whole: see [`Adjustment::scale_uncertainty`].
//!
//! **Several slips at once** (`doubts`). The smallest set of removals that brings every w to z or less, and among sets
//! of that size the one with the least chi-square. The search begins at a robust solution and works on the survey
//! linearised there, where holding a reading out is arithmetic: chi-square falls by exactly w². A beam of sets grows
//! by one reading at a time, then every one, two or three linked readings are exchanged for fewer or better ones.
//! What is found is solved in full and linearised anew until nothing changes. A slip of a hand's width can carry a
//! point to another place, so each point of the set is tried at the other places that its readings allow. Surveys of
//! more than 1,500 readings are searched in patches around what is off.
//!
//! **Unclear.** Other sets as small within 10.8 of that chi-square are rivals: the readings in which they differ are
//! one group (at most six), held out together if every point stays fixed without them. Else they stay in, the outcome
//! is `cannot tell`, and each point that lies elsewhere by more than three standard deviations is told with both
//! places. A reading is never held out where that would leave a point loose, two-valued or without any check.
//!
//! **One cause for several** (`doubts/causes`). An amount that a person, an instrument, a day or a run of rows shares
//! is one more unknown; a mark that moved splits its readings in the order of the sheet; exchanged labels are readings
//! that fit where another label stands. Each counts as one removal. Between a cause and as many single slips Bayes'
//! rule decides, over the whole survey with the unknowns integrated out. Where holding a sheet out would leave a point
//! loose, it stays in with its amount as an unknown.
//!
//! **Limits.** A slip below about five standard deviations cannot be found by any adjustment: 7/16 read as 9/16 is
//! 3.2 mm. The cure is a second, blind reading. Two slips at one point can look like one somewhere else: the smaller
//! set wins, rightly in most surveys, and then a good reading is accused. The search for the smallest set is not
//! exhaustive: it can miss one that differs from all it saw by more than three linked readings, and of sets of more
//! than twenty only single exchanges are tried. One offset is looked for at a time, and none where zero offsets are
//! unknowns or the survey is searched in patches.
//!
//! **Likely slips** (`slips`). Bayes' rule over a catalogue, with priors from one table ([`PRIORS`]) against "none
//! of these" ([`NONE_OF_THESE`]): prior × density of what the slip leaves over, with the variance of the reading and
//! of what the others predict. They are the odds given that the reading is off, and honest as far as the table is: of
//! what is given nine in ten, nine in ten comes true.
//!
//! **At the tape** (`logged`, `without`). A reading that was just logged is compared with all the others by a change
//! of rank one, without solving again: [`Adjustment::just_logged`]. Lengths and angles are, whether or not anything
//! tells the shell from its mirror image: they are alike in both.
//!
//! **Is the shell straight?** (`symmetry`). Mirror pairs against their own best mid-plane, with the covariance of
//! everything that is told; no frame changes it.
//!
//! **Honest instruments** (`instruments`). Variance components by instrument and by person, by least squares (P. J. G.
//! Teunissen, A. R. Amiri-Simkooei 2008), so that a careless one does not make the others look careless; zero offsets
//! as unknowns where that is asked for. The coordinates stay as the stated deviations have them.
//!
//! **Two epochs** (`epochs`). The congruence test of deformation analysis, one point at a time taken out.

/// The version of the solver. It changes whenever the same survey gives other digits or other verdicts, so that
/// what was computed by another version is computed again.
pub const SOLVER: &str = "2";

mod adjustment;
mod ambiguity;
mod descend;
mod doubted;
mod doubts;
mod epochs;
mod fit;
mod frame_asked;
mod frames;
mod gauge;
mod hand;
mod instruments;
mod logged;
mod network;
mod next;
mod observe;
mod order;
pub mod quantiles;
mod report;
mod result;
pub mod rigid;
mod slips;
mod solve;
mod sparse;
mod start;
mod stop;
mod symmetry;
mod without;

pub use adjustment::{Adjustment, Solution, adjust};
pub use epochs::{CannotCompare, Compared, Comparison, NotCompared, WhyNotCompared, compare};
pub use instruments::{InstrumentBehaviour, PersonBehaviour};
pub use logged::{Incomparable, Logged, LoggedVerdict};
pub use order::{LeftOut, LeftOutReason, NoOrder, OrderStep, StepReason, SurveyOrder, order};
pub use quantiles::critical_w;
pub use result::*;
pub use slips::{NONE_OF_THESE, PRIORS, RAISED};
pub use stop::{Stopped, unless_stopped};
pub use symmetry::{Diagonal, MidPlane, PairOff, Symmetry};
