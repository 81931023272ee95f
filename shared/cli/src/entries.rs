//! `trammel point` and `trammel instrument`.

use desk::{Act, InstrumentFacts, NamedThing, PointFacts};

use crate::ask::{InstrumentAsk, InstrumentWhat, Place, PointAsk, PointWhat};
use crate::at::{self, Done};
use crate::job::did;

/// Does what is asked of a point.
pub(crate) fn point(place: &Place, asked: &PointAsk) -> Done {
    let act = match &asked.what {
        PointWhat::Describe {
            label,
            side,
            mirror,
            x,
            y,
            z,
            fixed,
            note,
        } => Act::DescribePoint {
            point: label.clone(),
            facts: PointFacts {
                side: side.clone(),
                mirror: mirror.clone(),
                x: x.clone(),
                y: y.clone(),
                z: z.clone(),
                fixed: fixed.clone(),
                note: note.clone(),
            },
        },
        PointWhat::Rename { label, to } => Act::RenamePoint {
            point: label.clone(),
            to: to.clone(),
        },
        PointWhat::Join { label, into } => Act::JoinPoints {
            point: label.clone(),
            into: into.clone(),
        },
        PointWhat::Split { label } => Act::SplitPoint { point: label.clone() },
        PointWhat::Block { a, b, why } => Act::BlockLine {
            a: a.clone(),
            b: b.clone(),
            why: why.clone(),
        },
        PointWhat::Unblock { a, b } => Act::UnblockLine {
            a: a.clone(),
            b: b.clone(),
        },
    };
    at::write(place, |desk, by| did(desk, place.job.as_deref(), &act, by))
}

/// Does what is asked of an instrument.
pub(crate) fn instrument(place: &Place, asked: &InstrumentAsk) -> Done {
    let act = match &asked.what {
        InstrumentWhat::Describe {
            name,
            kind,
            class,
            graduation,
            zero_offset,
            case_length,
            point_sd,
            sd,
            note,
        } => Act::DescribeInstrument {
            name: name.clone(),
            facts: InstrumentFacts {
                kind: kind.clone(),
                class: class.clone(),
                graduation: graduation.clone(),
                zero_offset: zero_offset.clone(),
                case_length: case_length.clone(),
                point_sd: point_sd.clone(),
                sd: sd.clone(),
                note: note.clone(),
            },
        },
        InstrumentWhat::Rename { name, to } => Act::Rename {
            what: NamedThing::Instrument,
            name: name.clone(),
            to: to.clone(),
        },
    };
    at::write(place, |desk, by| did(desk, place.job.as_deref(), &act, by))
}
