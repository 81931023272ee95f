//! Frames: the axes that coordinates are given in. x ahead, y left, z up (ISO 8855 directions).

use crate::Label;

/// The frame that coordinates are asked for in.
#[derive(Debug, Clone, PartialEq)]
pub enum Frame {
    /// `three:ORIGIN,AHEAD,LEFT`: AHEAD on +x, LEFT in the xy plane with y > 0.
    Three {
        /// At (0, 0, 0).
        origin: Label,
        /// On +x.
        ahead: Label,
        /// In the xy plane, y > 0.
        left: Label,
    },
    /// `plumb:ORIGIN,AHEAD,LEFT`: z along the plumb line of the first stand, AHEAD at y = 0 and x > 0; LEFT
    /// only says which way y goes.
    Plumb {
        /// At (0, 0, 0).
        origin: Label,
        /// At y = 0, x > 0.
        ahead: Label,
        /// At y > 0.
        left: Label,
    },
    /// `centreline:ORIGIN,AHEAD,ABOVE`: y = 0 is the best mid-plane of the mirror pairs; ORIGIN and AHEAD are
    /// projected on it, ABOVE is at z > 0.
    Centreline {
        /// Projected to (0, 0, 0).
        origin: Label,
        /// Projected on +x.
        ahead: Label,
        /// At z > 0.
        above: Label,
    },
    /// `bench`: that of fixed coordinates and of x, y and z readings.
    Bench,
}
