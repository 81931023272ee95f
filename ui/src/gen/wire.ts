// Generated from the desk's command table by `make wire`. Not to be edited.
//
// Lengths in mm, angles in degrees. What is not known is null, never 0.

/** What was read. */
export type KindWord = "tape" | "slope" | "corner" | "rise" | "string" | "face" | "x" | "y" | "z";

/** What may have happened to a reading. */
export type SlipWord = "burned-inch" | "foot" | "decimetre" | "inch" | "half-inch" | "fraction" | "digits-swapped" | "case-length" | "cm-for-inch" | "from-forgotten" | "complement" | "supplement" | "sign" | "mirror-point" | "wrong-point" | "moved-mark" | "labels-exchanged" | "whole-sheet" | "tape-bent";

/**
 * What of a shell is crooked and taken as it is. Whatever else comes out crooked later is a doubt again.
 */
export type Accepted = { 
/**
 * One side sits ahead of the other.
 */
racked: boolean, 
/**
 * The front is turned against the rear.
 */
twisted: boolean, 
/**
 * Mirror pairs that are not alike: left, right.
 */
pairs: Array<[string, string]>, 
/**
 * Why that is so, or may stay.
 */
why: string, };

/**
 * One thing that a person does to a job.
 */
export type Act = { "do": "set-job", name?: string | null, unit?: string | null, frame?: string | null, above?: string | null, } | { "do": "add", what: NamedThing, name: string, } | { "do": "rename", what: NamedThing, name: string, to: string, } | { "do": "describe-instrument", name: string, kind?: string | null, class?: string | null, graduation?: string | null, zero_offset?: string | null, case_length?: string | null, point_sd?: string | null, sd?: string | null, note?: string | null, } | { "do": "describe-point", point: string, side?: string | null, mirror?: string | null, x?: string | null, y?: string | null, z?: string | null, fixed?: string | null, note?: string | null, } | { "do": "add-points", points: Array<NewPoint>, } | { "do": "rename-point", point: string, to: string, } | { "do": "join-points", point: string, into: string, } | { "do": "split-point", point: string, } | { "do": "block-line", a: string, b: string, why?: string, } | { "do": "unblock-line", a: string, b: string, } | { "do": "set-aside", reading: string, why: string, } | { "do": "keep-reading", reading: string, why: string, } | { "do": "bring-back", reading: string, } | { "do": "correct-reading", reading: string, why: string, kind?: string | null, points?: Array<string> | null, value?: string | null, sd?: string | null, instrument?: string | null, from?: string | null, add?: string | null, stand?: string | null, epoch?: string | null, note?: string | null, } | { "do": "caption-photo", photo: string, caption: string, } | { "do": "set-photo-about", photo: string, point?: string | null, reading?: string | null, } | { "do": "remove-photo", photo: string, } | { "do": "bring-photo-back", photo: string, } | { "do": "pin-photo", photo: string, point?: string, note?: string, x: number, y: number, } | { "do": "tie-pin", pin: string, point: string, } | { "do": "move-pin", pin: string, x: number, y: number, } | { "do": "remove-pin", pin: string, } | { "do": "bring-pin-back", pin: string, } | { "do": "accept-straight", why: string, } | { "do": "choose", register: string, value: RegisterValue, };

/**
 * What an act did.
 */
export type Acted = { 
/**
 * The change that it became; nothing where all was so already.
 */
change: string | null, 
/**
 * In words, as it stands in the history.
 */
words: string, };

/**
 * What is said of a photo that is added.
 */
export type AddPhoto = { 
/**
 * What its file is called.
 */
file?: string, 
/**
 * What the crew writes under it.
 */
caption?: string, 
/**
 * The point that it is of.
 */
point?: string | null, 
/**
 * The reading that it is of.
 */
reading?: string | null, };

/**
 * The whole answer.
 */
export type AdjustmentWire = { 
/**
 * The version of these names: 1.
 */
format: number, 
/**
 * The frame of the coordinates.
 */
frame: FrameWire, 
/**
 * What decided between mirror images.
 */
handedness: HandednessWord, 
/**
 * The most serious thing that applies.
 */
outcome: OutcomeWord, 
/**
 * The points in the order of the sheets.
 */
points: Array<PointWire>, 
/**
 * The readings in the order of the sheet.
 */
readings: Array<ReadingWire>, 
/**
 * The figures of the whole.
 */
summary: SummaryWire, 
/**
 * Points that are not pinned down.
 */
loose: Array<LooseWire>, 
/**
 * Points with two places.
 */
two_valued: Array<TwoValuedWire>, 
/**
 * Groups of labels that hang together but not with each other.
 */
islands: Array<Array<string>>, 
/**
 * What to read next, best first.
 */
next: Array<NextWire>, 
/**
 * Mirror pairs against the mid-plane; `null` where fewer than two pairs are pinned down.
 */
symmetry: SymmetryWire | null, 
/**
 * How the instruments behave.
 */
instruments: Array<InstrumentWire>, 
/**
 * How the people read who are named.
 */
people: Array<PersonWire>, 
/**
 * What is wrong with the sheets, and what must be told beside the result.
 */
problems: Array<ProblemWire>, };

/**
 * How a reading stands to the one that it reads again; mm or degrees.
 */
export type Again = { 
/**
 * What the earlier one is called.
 */
name: string, 
/**
 * What it says, from point to point.
 */
earlier: number, 
/**
 * This one less the earlier one.
 */
apart: number, 
/**
 * Whether they agree within what their own standard deviations allow, 95 times in 100.
 */
agree: boolean, 
/**
 * Whether the earlier one was set aside: it is in doubt, and this one, which differs, fits the others.
 */
set_aside: boolean, };

/**
 * A job at one epoch, the newest where none is named.
 */
export type AtEpoch = { job?: string | null, epoch?: string | null, };

export type Back = { job?: string | null, who?: string | null, most?: number | null, };

/**
 * Two points of a job at one epoch, the newest where none is named.
 */
export type BetweenTwo = { job?: string | null, epoch?: string | null, a: string, b: string, };

/**
 * A line that cannot be taped.
 */
export type BlockedLine = { 
/**
 * From.
 */
a: string, 
/**
 * To.
 */
b: string, 
/**
 * What stands in the way.
 */
why: string, };

/**
 * What was looked at, and what is wrong.
 */
export type Checked = { 
/**
 * How many jobs were looked at.
 */
jobs: number, 
/**
 * How many pieces of their documents.
 */
chunks: number, 
/**
 * How many photos.
 */
photos: number, 
/**
 * What is wrong with what is kept, in words; empty where nothing was found.
 */
wrong: Array<string>, 
/**
 * Pictures that a job names and this device does not have, and in which job. They come with a job file.
 */
pictures_elsewhere: Array<string>, };

/**
 * How much of a survey is checked.
 */
export type CheckedShare = { 
/**
 * All readings, those set aside too.
 */
readings: number, 
/**
 * Those that count in the points.
 */
used: number, 
/**
 * Of these, those in which a slip would show.
 */
checked: number, 
/**
 * Of these, those in which none would.
 */
unchecked: number, 
/**
 * Those that are off and count for nothing until they are read again.
 */
held_out: number, 
/**
 * Those that the crew set aside.
 */
set_aside: number, 
/**
 * Those that the crew keeps on purpose.
 */
kept: number, 
/**
 * All points.
 */
points: number, 
/**
 * The checked reading in which the largest slip could hide.
 */
least_checked: LeastChecked | null, 
/**
 * What of the shell is crooked and taken as it is.
 */
accepted: Accepted | null, };

/**
 * The closed set of reasons. A shell may act on these; the words are for people.
 */
export type Code = "bad-request" | "no-such-job" | "which-job" | "unusable" | "not-there" | "name-taken" | "nothing-to-do" | "changed-since" | "nothing-to-solve" | "bad-file" | "newer" | "other-job" | "bad-photo" | "photo-not-here" | "in-use" | "no-store" | "not-a-store" | "read-only" | "store-damaged" | "too-large" | "disk-full" | "disk-failed" | "stopped" | "no-access" | "fault";

/**
 * How a reading that was just logged stands to what all others predict; mm or degrees.
 */
export type Compared = { 
/**
 * What is so.
 */
verdict: ComparedVerdict, 
/**
 * Why there is nothing to compare it with.
 */
why: NothingToCompare | null, 
/**
 * The point that the others do not know, where that is why.
 */
point: string | null, 
/**
 * Whether it is a length or an angle.
 */
quantity: QuantityWord, 
/**
 * What was read, from point to point.
 */
observed: number, 
/**
 * What the others expect.
 */
expected: number | null, 
/**
 * Standard deviation of that.
 */
expected_sd: number | null, 
/**
 * Expected less observed.
 */
residual: number | null, 
/**
 * The residual over its own standard deviation.
 */
w: number | null, 
/**
 * The smallest slip in it that would have been seen.
 */
smallest_visible_slip: number | null, 
/**
 * The slips that would explain it, best first, where it is off.
 */
slips: Array<LikelySlipWire>, 
/**
 * The odds that it was none of the catalogue.
 */
none_of_these: number | null, 
/**
 * Whether it is off by so little that the other readings cannot prove it.
 */
hard_to_see: boolean, 
/**
 * What is so, in one line of English.
 */
headline: string, 
/**
 * What can have happened and what to do, in lines of English.
 */
said: Array<string>, };

/**
 * What is so.
 */
export type ComparedVerdict = "fits" | "look-again" | "off" | "nothing-to-compare";

/**
 * What is said of a device; what is left out stays.
 */
export type DeviceSaid = { person?: string | null, theme?: Theme | null, marks?: 8 | 16 | 32 | 64 | null, numbers?: Numbers | null, actions?: Hand | null, sound?: boolean | null, buzz?: boolean | null, text_size?: TextSize | null, first_start?: boolean | null, 
/**
 * The id of a job; empty for none.
 */
job?: string | null, };

/**
 * Two crossing distances by their ends, and the first less the second.
 */
export type DiagonalWire = { one: [string, string], other: [string, string], lengths_mm: [number, number], difference_mm: TestedWire, };

/**
 * What devices disagree about, and what each says.
 */
export type DisputeLine = { 
/**
 * The register, for choosing.
 */
register: string, 
/**
 * What it is about, in words.
 */
about: string, 
/**
 * The values. The last one counts until someone chooses.
 */
values: Array<SaidLine>, };

/**
 * How far two points are apart, lengths in mm.
 */
export type Distance = { 
/**
 * From.
 */
a: string, 
/**
 * To.
 */
b: string, 
/**
 * In a straight line; `null` where it is not determined.
 */
mm: number | null, 
/**
 * Standard deviation of that. ± at 95 % is 1.96 times that.
 */
sd_mm: number | null, 
/**
 * From the first to the second along the axes of the frame; `null` where that hangs on which mirror image of the
 * shell is the right one, and nothing tells yet.
 */
along_mm: [number, number, number] | null, 
/**
 * The tapes, slopes and rises between the two, those set aside too.
 */
readings: Array<string>, 
/**
 * Why it is not determined, and what to do.
 */
why: string | null, };

/**
 * One thing that stands between the crew and an order for tube. What does not apply to its kind is empty or `null`.
 */
export type Doubt = { 
/**
 * What kind of doubt.
 */
kind: DoubtKind, 
/**
 * The readings that it is about.
 */
readings: Array<string>, 
/**
 * The points that it is about.
 */
points: Array<string>, 
/**
 * Whether its numbers are lengths or angles.
 */
quantity: QuantityWord, 
/**
 * How far off, without a sign; how far apart the two places of a point are.
 */
amount: number | null, 
/**
 * Which way.
 */
way: Way | null, 
/**
 * What the others expect of the reading, from point to point.
 */
expected: number | null, 
/**
 * Standard deviation of that.
 */
expected_sd: number | null, 
/**
 * The slips that would explain it, best first.
 */
slips: Array<LikelySlipWire>, 
/**
 * The odds that it was none of the catalogue.
 */
none_of_these: number | null, 
/**
 * Unit vectors along which a loose point can move.
 */
directions: Array<[number, number, number]>, 
/**
 * The two places of a point with two.
 */
places: [[number, number, number], [number, number, number]] | null, 
/**
 * Points that lie elsewhere by another explanation.
 */
moves: Array<MovedPoint>, 
/**
 * Whether its readings count for nothing until it is settled.
 */
held_out: boolean, 
/**
 * What several readings have in common.
 */
cause: SlipWord | null, 
/**
 * The register that devices disagree about, for choosing.
 */
register: string | null, 
/**
 * What each device says of it.
 */
values: Array<SaidLine>, 
/**
 * How many tapes hold a loose point.
 */
tapes: number, 
/**
 * How many other readings hold it.
 */
others: number, 
/**
 * The smallest slip that would show; `null` where none would.
 */
slip: number | null, 
/**
 * The mirror pair that is off most surely, of a shell that is not straight.
 */
pair: PairOff | null, 
/**
 * All mirror pairs that are off by more than chance would have it, the surest first.
 */
pairs: Array<PairOff>, 
/**
 * How far the left side is ahead of the right one, where that is more than the readings leave open.
 */
racked: TestedWire | null, 
/**
 * How far the front is turned against the rear in degrees, positive where the left side rises towards the front.
 */
twisted: TestedWire | null, 
/**
 * In words, where there is nothing else to show: a problem of what was typed.
 */
said: string | null, 
/**
 * The one action that settles it.
 */
settle: Settle, };

/**
 * Kinds of doubt.
 */
export type DoubtKind = "suspect" | "shared-cause" | "unclear" | "loose" | "two-places" | "not-read" | "islands" | "mirror-image" | "differs" | "look-again" | "unchecked" | "not-straight" | "sheet-problem";

/**
 * Everything that stands between the crew and an order for tube.
 */
export type Doubts = { 
/**
 * What matters most comes first.
 */
doubts: Array<Doubt>, 
/**
 * What was checked, and what was not.
 */
checked: CheckedShare, 
/**
 * The least certain point that is pinned down, by the longest axis of its covariance.
 */
worst: WorstPoint | null, 
/**
 * What to read next, best first.
 */
next: Array<Next>, 
/**
 * Readings worth a second, blind reading: those that the others check least, at most five.
 */
blind: Array<string>, 
/**
 * Why no point is determined yet, in words.
 */
unsolved: string | null, };

/**
 * A point at two epochs, the earlier laid on the later by the points that kept their places.
 */
export type EpochPoint = { 
/**
 * Where it was.
 */
before: [number, number, number], 
/**
 * Where it is: `before` and the shift.
 */
after: [number, number, number], label: string, shift_mm: [number, number, number], sd_mm: [number, number, number], distance_mm: number, distance_sd_mm: number, chi_square: number, moved: boolean, unclear: boolean, };

/**
 * Two epochs of a job, compared point by point; lengths in mm, in the frame of the later one.
 */
export type EpochsCompared = { 
/**
 * The earlier epoch; empty for what was read before any was named.
 */
before: string, 
/**
 * The later one.
 */
after: string, 
/**
 * The frame.
 */
frame: FrameWire, 
/**
 * Whether most points kept their places against each other. Where not, no point is said to have moved.
 */
stands_still: boolean, 
/**
 * Whether what is not said to have moved lies as the readings allow.
 */
rest_agrees: boolean, 
/**
 * The critical value for `chi_square`.
 */
critical: number, 
/**
 * The points that are pinned down in both.
 */
points: Array<EpochPoint>, 
/**
 * The others.
 */
not_compared: Array<NotComparedWire>, 
/**
 * The later one, to be drawn.
 */
shape: ShapeShown, };

/**
 * What was written.
 */
export type Exported = { 
/**
 * What the job is called.
 */
name: string, 
/**
 * How many readings are in it.
 */
readings: number, 
/**
 * How many pictures.
 */
photos: number, 
/**
 * Pictures that are not on this device, by the first letters of their ids.
 */
missing: Array<string>, 
/**
 * `N readings held out, M unchecked. Measured, not approved.`
 */
stamp: string, };

/**
 * A box along the axes.
 */
export type Extent = { 
/**
 * Least x, y, z.
 */
low: [number, number, number], 
/**
 * Greatest x, y, z.
 */
high: [number, number, number], };

/**
 * What a job file brought.
 */
export type FileTaken = { 
/**
 * Which job.
 */
id: string, 
/**
 * What it is called.
 */
name: string, 
/**
 * Whether this device did not have it before.
 */
new: boolean, 
/**
 * How many changes were new.
 */
changes: number, 
/**
 * How many pictures were new.
 */
photos: number, 
/**
 * Names of files in it that are not Trammel's. They were not opened.
 */
ignored: Array<string>, 
/**
 * Pictures that were not taken, with the reason.
 */
refused: Array<string>, };

/**
 * An axis of the frame.
 */
export type FrameWay = "along" | "across" | "up";

/**
 * The frame, by its kind and its points.
 */
export type FrameWire = { "kind": "three", 
/**
 * At (0, 0, 0).
 */
origin: string, 
/**
 * On +x.
 */
ahead: string, 
/**
 * At y > 0, z = 0.
 */
left: string, } | { "kind": "plumb", 
/**
 * At (0, 0, 0).
 */
origin: string, 
/**
 * At y = 0, x > 0.
 */
ahead: string, 
/**
 * At y > 0.
 */
left: string, } | { "kind": "centreline", 
/**
 * Projected to (0, 0, 0).
 */
origin: string, 
/**
 * Projected on +x.
 */
ahead: string, 
/**
 * At z > 0.
 */
above: string, } | { "kind": "bench" };

/**
 * Which hand.
 */
export type Hand = "right" | "left";

/**
 * What decided between mirror images.
 */
export type HandednessWord = "fixed" | "above" | "plumb" | "sides" | "rough positions" | "unresolved";

/**
 * One change of a job.
 */
export type HistoryLine = { 
/**
 * The change.
 */
change: string, 
/**
 * When, by the clock of the device it was made on, in UTC.
 */
at: string, 
/**
 * Who.
 */
by: string, 
/**
 * What, by its word.
 */
did: string, 
/**
 * What, in words.
 */
words: string, };

export type Import = { job?: string | null, by?: string | null, readings?: string | null, points?: string | null, instruments?: string | null, unit?: "in" | "mm" | null, keep_going?: boolean, };

/**
 * An instrument of a job, as it was described.
 */
export type InstrumentLine = { name: string, kind: string, class: string, graduation: string, zero_offset: string, case_length: string, point_sd: string, sd: string, note: string, 
/**
 * How many readings were taken with it, those set aside too.
 */
readings: number, };

/**
 * How an instrument behaves; deviations in mm, or degrees where it reads angles.
 */
export type InstrumentWire = { name: string, readings: number, redundancy: number, variance_ratio: number | null, band_95: [number, number] | null, said_sd: number, behaves_like_sd: number | null, 
/**
 * What must be added beyond the zero offset of the sheet.
 */
zero_offset_mm: TestedWire | null, };

/**
 * One job of the list.
 */
export type JobLine = { 
/**
 * Its name for programs.
 */
id: string, 
/**
 * Its name for people.
 */
name: string, 
/**
 * How many readings it has, those set aside too.
 */
readings: number, 
/**
 * How many points.
 */
points: number, 
/**
 * How many photos.
 */
photos: number, 
/**
 * When the newest change was made, in UTC.
 */
changed: string, 
/**
 * By whom.
 */
changed_by: string, 
/**
 * How many values devices disagree about.
 */
disputes: number, 
/**
 * What the last solve said, where it still holds.
 */
standing: Standing | null, 
/**
 * Why it cannot be opened, where it cannot; the rest is then empty.
 */
trouble: string | null, };

/**
 * A job, now or as it stood.
 */
export type JobShown = { 
/**
 * Its name for programs.
 */
id: string, 
/**
 * Its name for people.
 */
name: string, 
/**
 * `in` or `mm`, where that was said.
 */
unit: "in" | "mm" | null, 
/**
 * The axes, as `three:A,B,C`.
 */
frame: string | null, 
/**
 * The point that is said to be on the upper side.
 */
above: string | null, 
/**
 * The crew.
 */
people: Array<string>, 
/**
 * The stands, in the order in which they began.
 */
stands: Array<string>, 
/**
 * The epochs, in the order in which they began.
 */
epochs: Array<string>, 
/**
 * The stand that a reading takes of which none is said; empty where none was begun.
 */
stand: string, 
/**
 * The epoch that a reading takes of which none is said; empty where none was begun.
 */
epoch: string, 
/**
 * The instruments.
 */
instruments: Array<InstrumentLine>, 
/**
 * The points, in the order in which they were made.
 */
points: Array<PointLine>, 
/**
 * The readings, in the order in which they were logged.
 */
readings: Array<ReadingLine>, 
/**
 * Lines that cannot be taped.
 */
blocked: Array<BlockedLine>, 
/**
 * What devices disagree about.
 */
disputes: Array<DisputeLine>, };

export type KeepDraft = { job?: string | null, draft: string, };

/**
 * The checked reading in which the largest slip could hide.
 */
export type LeastChecked = { 
/**
 * Which.
 */
reading: string, 
/**
 * The smallest slip in it that would show.
 */
slip: number, 
/**
 * Whether that is a length or an angle.
 */
quantity: QuantityWord, };

/**
 * A point that is left out.
 */
export type LeftOutWire = { 
/**
 * Its label.
 */
label: string, 
/**
 * `no place` or `too few lines`.
 */
reason: "no place" | "too few lines", 
/**
 * How many lines lead to it, where they are too few.
 */
lines: number | null, };

/**
 * A slip that would explain a reading.
 */
export type LikelySlipWire = { 
/**
 * Its word.
 */
name: SlipWord, 
/**
 * The observed value with the slip undone.
 */
corrected: number | null, 
/**
 * The points it would belong to.
 */
belongs_to: Array<string> | null, 
/**
 * Probability among the catalogue and "none of these".
 */
odds: number, };

/**
 * What is known of a reading, the gravest first.
 */
export type LineState = "set-aside" | "suspect" | "unclear" | "unchecked" | "look-again" | "fits" | "unused";

export type Log = { job?: string | null, by?: string | null, reading: LogReading, };

/**
 * A reading as it is typed on a pad or a command line. Text that is left out is nothing said.
 */
export type LogReading = { 
/**
 * `tape`, `slope`, `corner`, `rise`, `string`, `face`, `x`, `y`, `z`.
 */
kind: string, 
/**
 * The labels of a, b, c, d as far as the kind needs them. A label that nobody used makes a point.
 */
points: Array<string>, 
/**
 * The value as typed; a bare number takes the job's unit.
 */
value: string, 
/**
 * A standard deviation of its own.
 */
sd?: string, 
/**
 * The instrument's name.
 */
instrument?: string, 
/**
 * `hook`, `burn-1in`, `burn-100mm`, `case`.
 */
from?: string, 
/**
 * Length to add.
 */
add?: string, 
/**
 * How the shell stands; where nothing is said, as since the stand that was added last.
 */
stand?: string, 
/**
 * The stage of the work; where nothing is said, the one that was added last.
 */
epoch?: string, 
/**
 * Whatever is to be noted.
 */
note?: string, 
/**
 * The name of the reading that is read again.
 */
again?: string, };

/**
 * A reading that was logged.
 */
export type Logged = { 
/**
 * What it is called.
 */
name: string, 
/**
 * Its entry.
 */
entry: string, 
/**
 * What the log has now, as a line.
 */
line: string, 
/**
 * When, in UTC.
 */
at: string, 
/**
 * How many changes it became: so often is undone to take it back.
 */
changes: number, 
/**
 * How it stands to the others; nothing where the others determine nothing yet.
 */
compared: Compared | null, 
/**
 * How it stands to the reading that it reads again.
 */
again: Again | null, };

/**
 * A point that is not pinned down, with unit vectors along which it can move.
 */
export type LooseWire = { label: string, directions: Array<[number, number, number]>, };

/**
 * A point that lies in different places by different explanations.
 */
export type MovedPoint = { 
/**
 * Which.
 */
point: string, 
/**
 * Where, in mm.
 */
places: [[number, number, number], [number, number, number]], };

/**
 * What has a name besides points and readings.
 */
export type NamedThing = "person" | "stand" | "epoch" | "instrument";

export type NewJob = { name: string, unit?: "in" | "mm" | null, by?: string | null, };

export type NewPhoto = { job?: string | null, by?: string | null, photo?: AddPhoto, };

/**
 * A point that is added. Text that is left out is nothing said.
 */
export type NewPoint = { label: string, side?: string, mirror?: string, x?: string, y?: string, z?: string, note?: string, };

/**
 * A reading worth taking next.
 */
export type Next = { 
/**
 * What to read.
 */
kind: KindWord, 
/**
 * From.
 */
a: string, 
/**
 * To.
 */
b: string, 
/**
 * The worst standard deviation of all points that are pinned down now.
 */
worst_sd_before_mm: number | null, 
/**
 * The same with this one reading more; `null` where it hangs on a place that is not known yet.
 */
worst_sd_after_mm: number | null, 
/**
 * What it is for; where it serves several ends, the most serious.
 */
why: PurposeWord, 
/**
 * The point that it is for, where it is for one.
 */
point: string | null, 
/**
 * The reading that it is for, the first where it is for several.
 */
reading: string | null, };

/**
 * A reading worth taking next.
 */
export type NextWire = { kind: KindWord, a: string, b: string, worst_sd_before_mm: number | null, worst_sd_after_mm: number | null, why: string, };

/**
 * A point that cannot be compared.
 */
export type NotComparedWire = { label: string, why: "only before" | "only after" | "open before" | "open after" | "open in both", };

/**
 * Commands that need nothing said.
 */
export type Nothing = Record<string, never>;

/**
 * Why there is nothing to compare it with.
 */
export type NothingToCompare = "new-point" | "open-point" | "new-stand" | "nothing-else" | "too-uncertain";

/**
 * How decimals are written.
 */
export type Numbers = "device" | "point" | "comma";

/**
 * A job, the only one where none is named, and who asks.
 */
export type OfJob = { job?: string | null, by?: string | null, };

/**
 * How a point lies to its mirror partner. Both of a pair say the same.
 */
export type OffMirror = { 
/**
 * Where the right one lies from the mirror image of the left one: x ahead, y left, z up of the mid-plane.
 */
off_mm: [number, number, number], 
/**
 * Standard deviations of that.
 */
sd_mm: [number, number, number], 
/**
 * The length of `off_mm`.
 */
distance_mm: number, 
/**
 * Standard deviation along its own direction.
 */
distance_sd_mm: number, 
/**
 * How far the two are from each other.
 */
apart_mm: number, 
/**
 * Standard deviation of that.
 */
apart_sd_mm: number, 
/**
 * Whether the offset is more than the readings leave open, at 5 % for this pair alone.
 */
significant: boolean, 
/**
 * Whether it is so with all pairs in view. Only then it is a doubt.
 */
stands_out: boolean, };

/**
 * A paper of a job at one epoch, the newest where none is named.
 */
export type OnPaper = { job?: string | null, epoch?: string | null, paper: PaperSize, form: PaperForm, 
/**
 * Of an SVG: the page, from 1, which is meant where none is said.
 */
page?: number | null, };

/**
 * The whole order.
 */
export type OrderWire = { 
/**
 * The version of these names: 1.
 */
format: number, 
/**
 * The frame of the worst deviation.
 */
frame: FrameWire, 
/**
 * What to read, in this order.
 */
steps: Array<StepWire>, 
/**
 * Points that the order leaves out.
 */
left_out: Array<LeftOutWire>, 
/**
 * Labels of points that stay loose or keep two places even so.
 */
open: Array<string>, 
/**
 * Ids of readings at hand in which a slip would not show even then.
 */
unchecked_readings: Array<string>, 
/**
 * The worst standard deviation to expect, longest axis of a point's covariance.
 */
expected_worst_sd_mm: number | null, 
/**
 * The point that has it.
 */
worst_point: string | null, 
/**
 * What is wrong with the sheets.
 */
problems: Array<ProblemWire>, };

/**
 * The most serious thing that applies to a survey.
 */
export type OutcomeWord = "fits" | "suspects held out" | "nothing checked" | "cannot tell" | "two-valued" | "loose points" | "islands";

/**
 * A mirror pair: where the right point lies from the mirror image of the left one, x ahead, y left, z up.
 */
export type PairOff = { 
/**
 * The left point.
 */
left: string, 
/**
 * The right point.
 */
right: string, 
/**
 * How far off.
 */
off_mm: [number, number, number], 
/**
 * Standard deviations of that.
 */
sd_mm: [number, number, number], };

/**
 * One pair: where the right point lies from the mirror image of the left one, x ahead, y left, z up.
 */
export type PairWire = { left: string, right: string, off_mm: [number, number, number], sd_mm: [number, number, number], significant: boolean, };

/**
 * What file it is.
 */
export type PaperForm = "pdf" | "svg";

/**
 * What the sheet is printed on.
 */
export type PaperSize = "a4" | "letter";

export type Person = { name: string, };

/**
 * How a person reads.
 */
export type PersonWire = { name: string, readings: number, held_out: number, redundancy: number, variance_ratio: number | null, band_95: [number, number] | null, };

/**
 * A photo that was added.
 */
export type PhotoAdded = { 
/**
 * As it is listed now.
 */
photo: PhotoLine, 
/**
 * Whether the same picture was there before.
 */
already: boolean, };

/**
 * One photo of a job.
 */
export type PhotoLine = { id: string, width: number, height: number, bytes: number, file: string, taken: string, caption: string, point: string | null, reading: string | null, by: string, removed: boolean, 
/**
 * Whether the picture is on this device.
 */
here: boolean, pins: Array<PinLine>, };

/**
 * Which picture of a photo.
 */
export type PhotoSize = "original" | "to-leave" | "large" | "small";

export type Picture = { job?: string | null, photo: string, size: PhotoSize, };

/**
 * A picture by the hash of its photo.
 */
export type PictureByHash = { 
/**
 * All 64 letters of it.
 */
photo: string, size: PhotoSize, };

/**
 * A pin on a photo.
 */
export type PinLine = { id: string, 
/**
 * The label of its point; empty where it is tied to none yet.
 */
point: string, note: string, x: number, y: number, };

/**
 * A plane.
 */
export type PlaneWire = { 
/**
 * A point of it.
 */
point: [number, number, number], 
/**
 * Across it, to the left; of length 1.
 */
normal: [number, number, number], };

/**
 * A point of a job.
 */
export type PointLine = { 
/**
 * Its entry.
 */
id: string, 
/**
 * Its label.
 */
label: string, 
/**
 * Labels of points that were joined into it.
 */
joined: Array<string>, 
/**
 * `left`, `right`, `centre`, or nothing said.
 */
side: string, 
/**
 * Its mirror partner.
 */
mirror: string | null, 
/**
 * Rough x, y, z as typed.
 */
rough: [string, string, string], 
/**
 * Which of the letters x, y, z are exact.
 */
fixed: string, 
/**
 * What was noted.
 */
note: string, 
/**
 * How many readings name it, those set aside too.
 */
readings: number, };

/**
 * Whether a point is pinned down.
 */
export type PointStatusWord = "fixed" | "loose" | "two-valued";

/**
 * One point.
 */
export type PointWire = { label: string, x_mm: number | null, y_mm: number | null, z_mm: number | null, sd_x_mm: number | null, sd_y_mm: number | null, sd_z_mm: number | null, covariance_mm2: [[number, number, number], [number, number, number], [number, number, number]] | null, ellipsoid_95_mm: [number, number, number] | null, status: PointStatusWord, };

/**
 * Something that is wrong, with its place; without a file it is about the result.
 */
export type ProblemWire = { file: string | null, row: number | null, column: string | null, reason: string, };

/**
 * What a next reading is for.
 */
export type PurposeWord = "pins" | "settles" | "tells-apart" | "read-again" | "checks" | "steadies";

/**
 * What a number is: a length in mm, or an angle in degrees.
 */
export type QuantityWord = "length" | "angle";

/**
 * A reading of a job, as it is now.
 */
export type ReadingLine = { 
/**
 * Its entry.
 */
id: string, 
/**
 * What it is called.
 */
name: string, 
/**
 * Its kind.
 */
kind: string, 
/**
 * The labels of its points.
 */
points: Array<string>, 
/**
 * Its value as typed.
 */
value: string, 
/**
 * Whether that is a length or an angle.
 */
quantity: QuantityWord, 
/**
 * The value as it was read, in mm or degrees; nothing where it cannot be used.
 */
mm_or_deg: number | null, 
/**
 * Its value as it was logged, where it was corrected.
 */
logged: string | null, 
/**
 * The same in mm or degrees.
 */
logged_mm_or_deg: number | null, 
/**
 * A standard deviation of its own, as typed.
 */
sd: string, 
/**
 * What it was read with.
 */
instrument: string, 
/**
 * `hook`, `burn-1in`, `burn-100mm`, `case`, or nothing said.
 */
from: string, 
/**
 * Length added, as typed.
 */
add: string, 
/**
 * How the shell stood.
 */
stand: string, 
/**
 * Empty, `set aside` or `kept`.
 */
state: "" | "set aside" | "kept", 
/**
 * Why it is set aside, kept or corrected.
 */
why: string, 
/**
 * The epoch it belongs to.
 */
epoch: string, 
/**
 * Who read it.
 */
by: string, 
/**
 * When.
 */
at: string, 
/**
 * What was noted.
 */
note: string, };

/**
 * One reading; mm, or degrees for slopes and corners.
 */
export type ReadingWire = { 
/**
 * Its id in the sheet.
 */
id: string, 
/**
 * Its kind.
 */
kind: KindWord, 
/**
 * After from, add and zero offset.
 */
observed: number, 
/**
 * What the solution says; for one that is not in use, what the others predict.
 */
adjusted: number | null, 
/**
 * Adjusted minus observed.
 */
residual: number | null, 
/**
 * Standard deviation of `observed`.
 */
sd: number, 
/**
 * How far the others check it, 0 to 1.
 */
redundancy: number | null, 
/**
 * Residual over its own standard deviation, signed.
 */
w: number | null, 
/**
 * The smallest slip that the test would see.
 */
smallest_visible_slip: number | null, 
/**
 * Nothing else would show a slip in it.
 */
unchecked: boolean, 
/**
 * What the tests say.
 */
verdict: VerdictWord, 
/**
 * The number of its group, where it is unclear.
 */
group: number | null, 
/**
 * The slip that would explain it best.
 */
likely_slip: LikelySlipWire | null, 
/**
 * Every slip with odds of at least 1 in 100, best first, where the reading is off or unclear.
 */
slips: Array<LikelySlipWire>, 
/**
 * The odds that it was none of the catalogue; `null` where nothing was weighed.
 */
none_of_these: number | null, };

/**
 * A refusal for other programs.
 */
export type RefusalWire = { 
/**
 * Which of the reasons.
 */
code: Code, 
/**
 * In words.
 */
message: string, 
/**
 * With their places.
 */
problems: Array<ProblemWire>, };

/**
 * The value of a register, as it is disputed.
 */
export type RegisterValue = number | number | string;

/**
 * One of the values.
 */
export type SaidLine = { 
/**
 * The value, for choosing.
 */
value: RegisterValue, 
/**
 * The value for people: labels instead of entries.
 */
shown: string, 
/**
 * Who said it.
 */
by: string, 
/**
 * When, in UTC.
 */
at: string, };

/**
 * What settles a doubt.
 */
export type Settle = { "do": "read-again", 
/**
 * By name.
 */
readings: Array<string>, } | { "do": "read-next", 
/**
 * What to read.
 */
kind: KindWord, 
/**
 * From.
 */
a: string, 
/**
 * To.
 */
b: string, } | { "do": "choose", 
/**
 * Of this register.
 */
register: string, } | { "do": "say-above" } | { "do": "undo-swap", 
/**
 * One label.
 */
a: string, 
/**
 * The other.
 */
b: string, 
/**
 * By name.
 */
readings: Array<string>, } | { "do": "say-from", 
/**
 * The mark that fits, in the words of the readings sheet; nothing where none does.
 */
from: string | null, 
/**
 * By name.
 */
readings: Array<string>, } | { "do": "accept" } | { "do": "look" };

/**
 * A reading to be drawn.
 */
export type ShapeLine = { 
/**
 * What it is called.
 */
reading: string, 
/**
 * Its kind.
 */
kind: KindWord, 
/**
 * The labels of its points.
 */
points: Array<string>, 
/**
 * Who read it.
 */
by: string, 
/**
 * How the shell stood.
 */
stand: string, 
/**
 * What it was read with.
 */
instrument: string, 
/**
 * When in the work it was read.
 */
epoch: string, 
/**
 * What is known of it.
 */
state: LineState, 
/**
 * The number of its group, where it is unclear.
 */
group: number | null, 
/**
 * Whether it counts for nothing in the points until it is settled.
 */
held_out: boolean, 
/**
 * Observed less what all others predict, mm or degrees; `null` where they predict nothing.
 */
off: number | null, 
/**
 * Whether that is a length or an angle.
 */
quantity: QuantityWord, 
/**
 * What to draw: a tape, slope or rise from point to point, a corner along both legs, a string or a face from the
 * point to its foot on the line or plane. Empty for a coordinate, and where a point has no place.
 */
path: Array<[number, number, number]>, };

/**
 * A point to be drawn.
 */
export type ShapePoint = { 
/**
 * Its label.
 */
label: string, 
/**
 * On which side it is, where that was said.
 */
side: SideWord | null, 
/**
 * Its mirror partner.
 */
mirror: string | null, 
/**
 * Whether the readings pin it down.
 */
status: ShapeStatus, 
/**
 * Where to draw it. Of a loose point, where the solve ended; of one with two places, the first; of one that the
 * readings do not place, the rough place that was typed, laid on the others where enough of them have one too.
 */
place: [number, number, number] | null, 
/**
 * Whether that is only the rough place.
 */
is_rough: boolean, 
/**
 * Both places of a point with two.
 */
places: [[number, number, number], [number, number, number]] | null, 
/**
 * Standard deviations along the axes of the frame. ± at 95 % is 1.96 times that.
 */
sd_mm: [number, number, number] | null, 
/**
 * The semi-axes of its 95 % ellipsoid as vectors, longest first.
 */
axes_95_mm: [[number, number, number], [number, number, number], [number, number, number]] | null, 
/**
 * Unit vectors along which a loose point can move.
 */
directions: Array<[number, number, number]>, 
/**
 * Which way it is known least; `null` where it is known exactly or not at all.
 */
weakest: Weakest | null, 
/**
 * How it lies to its mirror partner; `null` where one of the two is not pinned down.
 */
off_mirror: OffMirror | null, 
/**
 * The gravest doubt that names it.
 */
doubt: DoubtKind | null, 
/**
 * The readings that name it, those set aside too.
 */
readings: Array<string>, 
/**
 * How many of these are held out.
 */
held_out: number, 
/**
 * How many photos show it: those of it, and those with a pin on it.
 */
photos: number, };

/**
 * A shell to be drawn.
 */
export type ShapeShown = { 
/**
 * The points, in the order of the job.
 */
points: Array<ShapePoint>, 
/**
 * The readings as lines, in the order in which they were logged.
 */
lines: Array<ShapeLine>, 
/**
 * Which points hang together for the eye, each pair once: the relative neighbourhood graph of the points that are
 * pinned down, with the mirror image of each of its edges. Nobody measured these lines, and they need not be edges
 * of the shell.
 */
outline: Array<[string, string]>, 
/**
 * The best mid-plane of the mirror pairs; `null` where fewer than two pairs are pinned down.
 */
plane: PlaneWire | null, 
/**
 * The point that is known least of those pinned down: the one with the longest 95 % ellipsoid.
 */
worst: string | null, 
/**
 * The axes; `null` where nothing is solved.
 */
frame: FrameWire | null, 
/**
 * What all places lie in; `null` where no point has a place.
 */
box: Extent | null, 
/**
 * The epochs that have readings, in the order in which they began; an empty name is what was read before any was
 * named.
 */
epochs: Array<string>, 
/**
 * The epoch that is shown.
 */
epoch: string, 
/**
 * Who read the lines, in the order in which they come.
 */
people: Array<string>, 
/**
 * The stands of the lines.
 */
stands: Array<string>, 
/**
 * The instruments of the lines.
 */
instruments: Array<string>, 
/**
 * Why no point is determined yet, in words.
 */
unsolved: string | null, };

/**
 * Whether the readings pin a point down.
 */
export type ShapeStatus = "fixed" | "loose" | "two-valued" | "unsolved";

/**
 * What sheets brought.
 */
export type SheetsBrought = { 
/**
 * New readings.
 */
readings: number, 
/**
 * New lines that cannot be taped.
 */
blocked: number, 
/**
 * New points.
 */
points: number, 
/**
 * New instruments.
 */
instruments: number, 
/**
 * Readings that were there already.
 */
already: number, 
/**
 * What was left out or left as it was.
 */
problems: Array<ProblemWire>, };

/**
 * A job as sheets that any program reads.
 */
export type SheetsShown = { 
/**
 * The readings, as they were typed.
 */
readings: string, 
/**
 * The points with what was said of them.
 */
points: string, 
/**
 * The instruments.
 */
instruments: string, 
/**
 * Where the points are, in mm; nothing where none is determined yet.
 */
coordinates: string | null, 
/**
 * `N readings held out, M unchecked. Measured, not approved.`
 */
stamp: string, };

/**
 * On which side of the shell a point is.
 */
export type SideWord = "left" | "right" | "centre";

/**
 * What a solve said, in short.
 */
export type Standing = { 
/**
 * The most serious thing that applies.
 */
outcome: OutcomeWord, 
/**
 * Readings held out.
 */
held_out: number, 
/**
 * Readings of which one is off.
 */
unclear: number, 
/**
 * Readings that nothing checks.
 */
unchecked: number, 
/**
 * Points that can move, without those that nobody has read.
 */
loose: number, 
/**
 * Points that nobody has read.
 */
not_read: number, };

/**
 * Points that are surveyed together.
 */
export type StartingGroup = { 
/**
 * Its word.
 */
key: string, };

/**
 * Hard points to begin with.
 */
export type StartingList = { 
/**
 * The points, group by group.
 */
points: Array<StartingPoint>, 
/**
 * The groups in the order in which they are best surveyed.
 */
groups: Array<StartingGroup>, };

/**
 * A hard point, with a rough place on a shell of no particular make: x ahead, y left, z up.
 */
export type StartingPoint = { 
/**
 * What it is called.
 */
label: string, 
/**
 * `left`, `right` or `centre`.
 */
side: "left" | "right" | "centre", 
/**
 * Its mirror partner.
 */
mirror: string | null, 
/**
 * Its group.
 */
group: string, 
/**
 * The shells that have it, by their doors.
 */
doors: Array<2 | 4>, 
/**
 * Ahead.
 */
x_mm: number, 
/**
 * To the left of the middle.
 */
y_mm: number, 
/**
 * Up.
 */
z_mm: number, 
/**
 * Where on the part to hold the tape.
 */
hint: string, };

/**
 * Why a step is in the order.
 */
export type StepReasonWord = "read again" | "base" | "level" | "holds" | "tells above" | "checks";

/**
 * One reading to take.
 */
export type StepWire = { 
/**
 * The kind of reading.
 */
kind: KindWord, 
/**
 * From.
 */
a: string, 
/**
 * To.
 */
b: string, 
/**
 * The point that it is taken for; `null` in the base.
 */
point: string | null, 
/**
 * What it is for.
 */
why: StepReasonWord, 
/**
 * Whether a slip in it would not show even when all is read.
 */
unchecked: boolean, };

export type Stood = { job?: string | null, when: string, };

/**
 * The figures of the whole, with suspects held out.
 */
export type SummaryWire = { points: number, readings: number, held_out: number, unclear: number, unknowns: number, degrees_of_freedom: number, chi_square: number, chi_square_band_95: [number, number] | null, chi_square_all: number, variance_factor: number | null, passes: boolean | null, critical_w: number, };

/**
 * Mirror pairs against the best mid-plane; lengths in mm, the twist in degrees.
 */
export type SymmetryWire = { 
/**
 * The pairs in the order of the sheets.
 */
pairs: Array<PairWire>, 
/**
 * How far the left side is ahead of the right one, over the mean width of the pairs.
 */
racked_mm: TestedWire | null, 
/**
 * How far the front is turned against the rear, positive where the left side rises towards the front.
 */
twisted_deg: TestedWire | null, 
/**
 * The longest crossing diagonals.
 */
diagonals: Array<DiagonalWire>, };

/**
 * An amount that would be nothing in a perfect world.
 */
export type TestedWire = { value: number, sd: number, significant: boolean, };

/**
 * How large letters are.
 */
export type TextSize = "normal" | "large" | "largest";

/**
 * Light or dark.
 */
export type Theme = "device" | "light" | "dark";

/**
 * How this device is set.
 */
export type ThisDevice = { 
/**
 * Who works at it.
 */
person: string | null, 
/**
 * Light or dark.
 */
theme: Theme, 
/**
 * Marks to an inch on the pad.
 */
marks: 8 | 16 | 32 | 64, 
/**
 * How decimals are written.
 */
numbers: Numbers, 
/**
 * The side on which the buttons are.
 */
actions: Hand, 
/**
 * Whether it sounds when a reading is logged.
 */
sound: boolean, 
/**
 * Whether it buzzes.
 */
buzz: boolean, 
/**
 * How large letters are.
 */
text_size: TextSize, 
/**
 * Whether nobody has begun to work at it yet.
 */
first_start: boolean, 
/**
 * The job that was open last, where it is still here.
 */
job: string | null, };

export type ToDo = { job?: string | null, by?: string | null, act: Act, };

/**
 * Two epochs of a job by their names; an empty one is what was read before any was named.
 */
export type TwoEpochs = { job?: string | null, before: string, after: string, };

/**
 * A point with two places, and the chi-square of the whole with each.
 */
export type TwoValuedWire = { label: string, candidates: [[number, number, number], [number, number, number]], chi_square: [number, number], };

/**
 * What a text would be logged as; mm or degrees.
 */
export type Typed = { 
/**
 * Whether it is a length or an angle.
 */
quantity: QuantityWord, 
/**
 * The number as it is read.
 */
read: number | null, 
/**
 * The number from point to point: after from, add and zero offset.
 */
observed: number | null, 
/**
 * Why it cannot be logged as it is.
 */
problem: TypedProblem | null, };

/**
 * Why a text cannot be logged.
 */
export type TypedProblem = { 
/**
 * The character of the value at fault, from 1, where it is one.
 */
place: number | null, 
/**
 * In words, with what to do.
 */
reason: string, };

export type Typing = { job?: string | null, reading: LogReading, };

/**
 * What undo or redo did.
 */
export type Undone = { 
/**
 * The change that was taken back, in words.
 */
words: string, 
/**
 * Fields that stay, as somebody changed them since.
 */
left: Array<string>, };

/**
 * What the tests say of a reading.
 */
export type VerdictWord = "fits" | "look again" | "suspect" | "unclear" | "set aside";

/**
 * The sheet as it was made.
 */
export type WallSheet = { 
/**
 * What the job is called.
 */
name: string, 
/**
 * How many pages the sheet has.
 */
pages: number, 
/**
 * What could not be drawn as it should be.
 */
problems: Array<string>, 
/**
 * `N readings held out, M unchecked. Measured, not approved.`
 */
stamp: string, };

/**
 * Which way a reading is off.
 */
export type Way = "long" | "short" | "wide" | "narrow" | "more" | "less";

/**
 * Which way a point is known least.
 */
export type Weakest = { 
/**
 * The axis of the frame that is nearest to the longest semi-axis of its ellipsoid.
 */
way: FrameWay, 
/**
 * ± at 95 % along that axis of the frame.
 */
half_width_95_mm: number, };

/**
 * The least certain point.
 */
export type WorstPoint = { 
/**
 * Which.
 */
point: string, 
/**
 * Its standard deviation along its worst axis. ± at 95 % is 1.96 times that.
 */
sd_mm: number, };

/** Every command of the desk: what it is asked, and what it answers. */
export type Commands = {
  "jobs": { ask: Nothing; answer: Array<JobLine> };
  "new-job": { ask: NewJob; answer: JobLine };
  "demo": { ask: Nothing; answer: JobLine };
  "show": { ask: OfJob; answer: JobShown };
  "solve": { ask: AtEpoch; answer: AdjustmentWire };
  "doubts": { ask: AtEpoch; answer: Doubts };
  "shape": { ask: AtEpoch; answer: ShapeShown };
  "distance": { ask: BetweenTwo; answer: Distance };
  "compare-epochs": { ask: TwoEpochs; answer: EpochsCompared };
  "log-reading": { ask: Log; answer: Logged };
  "typed": { ask: Typing; answer: Typed };
  "act": { ask: ToDo; answer: Acted };
  "undo": { ask: OfJob; answer: Undone };
  "redo": { ask: OfJob; answer: Undone };
  "history": { ask: Back; answer: Array<HistoryLine> };
  "as-it-stood": { ask: Stood; answer: JobShown };
  "order": { ask: OfJob; answer: OrderWire };
  "starting-list": { ask: Nothing; answer: StartingList };
  "draft": { ask: OfJob; answer: string | null };
  "keep-draft": { ask: KeepDraft; answer: null };
  "sheets": { ask: OfJob; answer: SheetsShown };
  "import-sheets": { ask: Import; answer: SheetsBrought };
  "take-in": { ask: Nothing; answer: FileTaken };
  "export": { ask: OfJob; answer: Exported };
  "wall-sheet": { ask: OnPaper; answer: WallSheet };
  "photos": { ask: OfJob; answer: Array<PhotoLine> };
  "add-photo": { ask: NewPhoto; answer: PhotoAdded };
  "photo": { ask: Picture; answer: null };
  "picture": { ask: PictureByHash; answer: null };
  "recovery": { ask: Nothing; answer: string | null };
  "check": { ask: Nothing; answer: Checked };
  "person": { ask: Nothing; answer: string | null };
  "set-person": { ask: Person; answer: string | null };
  "device": { ask: Nothing; answer: ThisDevice };
  "set-device": { ask: DeviceSaid; answer: ThisDevice };
};
