//! Three copies of one job that are edited at random and meet now and then, over a network that loses, doubles and
//! shuffles what it carries.

use fastrand::Rng;
use ledger::{
    Conversation, CorrectionText, CrookedRecord, Edit, EditError, EntryId, Heads, Job, JobId, PhotoText,
    PointText, ReadingText, Room, SheetsIn, Stamp,
};
use survey::SheetText;
use uuid::Uuid;

/// One device and the person who holds it.
pub struct Replica {
    /// Its copy.
    pub job: Job,
    by: &'static str,
    now_ms: i64,
}

/// The three of them, and what is under way between them.
pub struct Replicas {
    /// The copies.
    pub copies: Vec<Replica>,
    rng: Rng,
    under_way: Vec<(usize, Vec<u8>)>,
    known: Vec<Heads>,
    /// How many edits were made, and how many were refused.
    pub made: usize,
    /// Edits that made no sense at the time.
    pub refused: usize,
}

const LABELS: [&str; 9] = [
    "sill-rear-R",
    "sill-front-R",
    "sill-rear-L",
    "tower-L",
    "tower-R",
    "roof",
    "hoop",
    "mark",
    "new point",
];

impl Replicas {
    /// Three copies of a job that has these sheets.
    pub fn of(seed: u64, sheets: &SheetsIn<'_>) -> Replicas {
        let mut rng = Rng::with_seed(seed);
        let now_ms = 1_780_000_000_000;
        let stamp = Stamp {
            by: "whoever brought the sheets".into(), // so that nobody undoes them
            at_ms: now_ms,
            fresh: fresh(&mut rng),
        };
        let mut job = Job::new(JobId(fresh(&mut rng)), "shell", fresh(&mut rng), &stamp);
        job.import(sheets, &stamp).expect("the sheets are usable");
        let bytes = job.save();
        let copies: Vec<Replica> = ["Ana", "Ben", "Cleo"]
            .into_iter()
            .enumerate()
            .map(|(n, by)| Replica {
                job: Job::open_foreign(&bytes, fresh(&mut rng)).expect("a job opens"),
                by,
                // Clocks are off by minutes.
                now_ms: now_ms + 90_000 * n as i64,
            })
            .collect();
        let known = vec![job.heads(); 3];
        Replicas {
            copies,
            rng,
            under_way: Vec::new(),
            known,
            made: 0,
            refused: 0,
        }
    }

    /// One thing happens: somebody edits, a message leaves, arrives, is lost or doubled, a tablet is restarted.
    pub fn step(&mut self) {
        let who = self.rng.usize(..3);
        match self.rng.u32(..20) {
            0..=10 => self.edit(who),
            11..=14 => self.send(who),
            15..=17 => self.deliver(),
            18 => {
                let bytes = self.copies[who].job.save();
                let actor = fresh(&mut self.rng);
                self.copies[who].job = Job::open(&bytes, actor).expect("what was saved opens");
            }
            _ => self.talk_badly(who),
        }
    }

    /// Makes an edit of one's own choice on one copy.
    pub fn make(&mut self, who: usize, edit: &Edit) -> Result<ledger::Applied, EditError> {
        let stamp = self.stamp(who);
        self.copies[who].job.apply(edit, &stamp)
    }

    fn stamp(&mut self, who: usize) -> Stamp {
        self.copies[who].now_ms += self.rng.i64(0..5_000);
        Stamp {
            by: self.copies[who].by.to_owned(),
            at_ms: self.copies[who].now_ms,
            fresh: fresh(&mut self.rng),
        }
    }

    fn edit(&mut self, who: usize) {
        let stamp = self.stamp(who);
        let job = &mut self.copies[who].job;
        let done = match self.rng.u32(..12) {
            0 => job.undo(&stamp).map(drop),
            1 => job.redo(&stamp).map(drop),
            _ => {
                let edit = self.rng_edit(who);
                self.copies[who].job.apply(&edit, &stamp).map(drop)
            }
        };
        match done {
            Ok(()) => self.made += 1,
            Err(_) => self.refused += 1,
        }
    }

    fn rng_edit(&mut self, who: usize) -> Edit {
        let job = &self.copies[who].job;
        let rng = &mut self.rng;
        let records = job.records();
        let readings: Vec<&EntryId> = records.readings.keys().collect();
        let points: Vec<&EntryId> = records.points.keys().collect();
        let reading = readings
            .get(rng.usize(..readings.len().max(1)))
            .map(|id| (*id).clone());
        let mut point = || points[rng.usize(..points.len())].clone();
        let (one, two) = (point(), point());
        let label = |rng: &mut Rng| LABELS[rng.usize(..LABELS.len())].to_owned();
        let nothing = EntryId::of(Uuid::nil());
        let reading = reading.unwrap_or(nothing);
        match rng.u32(..16) {
            0..=3 => Edit::LogReading(ReadingText {
                kind: "tape".into(),
                points: vec![label(rng), label(rng)],
                value: format!("{} mm", rng.u32(100..3000)),
                stand: if rng.bool() {
                    String::new()
                } else {
                    "on blocks".into()
                },
                ..ReadingText::default()
            }),
            4 => Edit::SetAside {
                reading,
                why: format!("why {}", rng.u8(..3)),
            },
            5 => Edit::KeepReading {
                reading,
                why: String::new(),
            },
            6 => Edit::BringBack { reading },
            7 => Edit::Correct {
                reading,
                text: CorrectionText {
                    value: Some(format!("{} mm", rng.u32(100..3000))),
                    ..CorrectionText::default()
                },
                why: "looked again".into(),
            },
            8 => Edit::RenamePoint {
                point: one,
                label: label(rng),
            },
            9 => Edit::JoinPoints {
                point: one,
                into: two,
            },
            10 => Edit::SplitPoint { point: one },
            11 => Edit::DescribePoint {
                label: label(rng),
                text: PointText {
                    side: Some(["left", "right", "centre", ""][rng.usize(..4)].into()),
                    note: Some(format!("note {}", rng.u8(..3))),
                    ..PointText::default()
                },
            },
            12 => {
                let text = PointText {
                    side: Some(["left", "right"][rng.usize(..2)].into()),
                    ..PointText::default()
                };
                // Every label once, whichever comes first.
                let first = rng.usize(..LABELS.len());
                let labels = LABELS.iter().cycle().skip(first).take(2);
                Edit::AddPoints(labels.map(|label| ((*label).to_owned(), text.clone())).collect())
            }
            13 => Edit::TakeCrooked(CrookedRecord {
                racked: rng.bool(),
                pairs: vec![[one, two]],
                why: format!("why {}", rng.u8(..3)),
                ..CrookedRecord::default()
            }),
            14 => match job.disputes().first() {
                Some(dispute) => Edit::Choose {
                    key: dispute.key.clone(),
                    value: dispute.values[rng.usize(..dispute.values.len())].value.clone(),
                },
                None => Edit::BlockLine {
                    a: label(rng),
                    b: label(rng),
                    why: String::new(),
                },
            },
            15 if rng.bool() && !records.pins.is_empty() => Edit::TiePin {
                pin: records.pins.keys().next().expect("there is one").clone(),
                point: label(rng),
            },
            _ => match records.photos.keys().next() {
                Some(photo) if rng.bool() => Edit::PinPhoto {
                    photo: photo.clone(),
                    point: if rng.bool() { label(rng) } else { String::new() },
                    note: format!("note {}", rng.u8(..3)),
                    x: rng.f64(),
                    y: rng.f64(),
                },
                _ => Edit::AddPhoto(PhotoText {
                    photo: EntryId::parse(&format!("{:064x}", rng.u8(..4))).expect("hexadecimal letters"),
                    media_type: "jpeg".into(),
                    width: 4000,
                    height: 3000,
                    bytes: 1,
                    leaves_as: String::new(),
                    name: String::new(),
                    taken: String::new(),
                    caption: format!("caption {}", rng.u8(..3)),
                    about: None,
                }),
            },
        }
    }

    fn send(&mut self, from: usize) {
        let job = &self.copies[from].job;
        // Everything, or what came since the last time that something was sent, whether that arrived or not.
        let bytes = if self.rng.u8(..4) == 0 {
            job.save()
        } else {
            job.changes_after(&self.known[from])
        };
        self.known[from] = job.heads();
        for to in (0..3).filter(|to| *to != from) {
            self.under_way.push((to, bytes.clone()));
        }
    }

    fn deliver(&mut self) {
        if self.under_way.is_empty() {
            return;
        }
        let which = self.rng.usize(..self.under_way.len());
        let (to, bytes) = match self.rng.u32(..6) {
            0 => self.under_way[which].clone(), // It will come once more.
            _ => self.under_way.swap_remove(which),
        };
        if self.rng.u32(..6) == 0 {
            return; // Lost.
        }
        let job = &mut self.copies[to].job;
        let before = job.heads();
        // What builds on something that never arrived is refused, and changes nothing.
        if job.merge(&bytes).is_err() {
            assert_eq!(job.heads(), before);
        }
    }

    /// Two tablets talk while messages are lost, doubled and out of order.
    fn talk_badly(&mut self, one: usize) {
        let two = (one + 1) % 3;
        let mut talk = [Conversation::default(), Conversation::default()];
        let mut lines: Vec<(usize, Vec<u8>)> = Vec::new();
        for _ in 0..8 {
            for (side, who) in [one, two].into_iter().enumerate() {
                if let Ok(Some(message)) = self.copies[who].job.says(&mut talk[side]) {
                    lines.push((1 - side, message));
                }
            }
            self.rng.shuffle(&mut lines);
            let Some((side, message)) = lines.pop() else { break };
            if self.rng.u32(..5) == 0 {
                lines.push((side, message.clone()));
            }
            if self.rng.u32(..5) == 0 {
                continue;
            }
            let who = [one, two][side];
            let job = &mut self.copies[who].job;
            if job.hears(&mut talk[side], &message).is_err() {
                break;
            }
        }
    }

    /// All meet, and talk until nothing is left to say.
    pub fn meet(&mut self) {
        for _ in 0..2 {
            for (one, two) in [(0, 1), (1, 2), (2, 0)] {
                let mut talk = [Conversation::default(), Conversation::default()];
                loop {
                    let mut said = false;
                    for (side, who, other) in [(0, one, two), (1, two, one)] {
                        let message = self.copies[who]
                            .job
                            .says(&mut talk[side])
                            .expect("an honest copy can be answered");
                        if let Some(message) = message {
                            said = true;
                            let heard = self.copies[other].job.hears(&mut talk[1 - side], &message);
                            heard.expect("an honest copy is understood");
                        }
                    }
                    if !said {
                        break;
                    }
                }
            }
        }
    }

    /// A reading that every copy has.
    pub fn common_reading(&self) -> Option<EntryId> {
        let everywhere = |id: &&EntryId| {
            self.copies
                .iter()
                .all(|copy| copy.job.records().readings.contains_key(*id))
        };
        self.copies[0]
            .job
            .records()
            .readings
            .keys()
            .find(everywhere)
            .cloned()
    }
}

/// Sheets of a survey that was simulated or that is a case.
pub fn sheets<'a>(readings: &'a [u8], points: &'a [u8]) -> SheetsIn<'a> {
    SheetsIn {
        readings: Some(SheetText {
            name: "readings.csv",
            bytes: readings,
        }),
        points: Some(SheetText {
            name: "points.csv",
            bytes: points,
        }),
        unit: None,
        ..SheetsIn::default()
    }
}

fn fresh(rng: &mut Rng) -> Uuid {
    Uuid::from_u128(rng.u128(..))
}

/// What room a key of a dispute is in, for counting.
pub fn rooms(job: &Job) -> Vec<Room> {
    job.disputes()
        .into_iter()
        .map(|dispute| dispute.key.room)
        .collect()
}
