//! The invented shell: its marks, where they are, and the little geometry that measuring them takes.

/// x ahead, half width, z up of each mirror pair, in mm; y = 0 is the right sill.
const PAIRS: [(&str, f64, f64, f64); 18] = [
    ("sill-rear", 0.0, 620.0, 0.0),
    ("sill-mid", 700.0, 622.0, -6.0),
    ("sill-front", 1380.0, 618.0, 0.0),
    ("floor-front", 1300.0, 380.0, 32.0),
    ("floor-rear", 190.0, 405.0, 24.0),
    ("seat-bolt-front", 850.0, 330.0, 66.0),
    ("seat-bolt-rear", 460.0, 335.0, 71.0),
    ("hoop-foot", 120.0, 520.0, 112.0),
    ("lock-pillar", 40.0, 612.0, 430.0),
    ("roof-rear", -70.0, 505.0, 1015.0),
    ("screen-foot", 1565.0, 560.0, 560.0),
    ("screen-top", 820.0, 480.0, 1055.0),
    ("strut-front", 1985.0, 525.0, 525.0),
    ("rail-tip-front", 2420.0, 400.0, 180.0),
    ("firewall-low", 1500.0, 330.0, 95.0),
    ("rear-arch", -520.0, 560.0, 430.0),
    ("strut-rear", -640.0, 470.0, 565.0),
    ("rail-tip-rear", -1150.0, 430.0, 225.0),
];
/// x ahead and z up of the points on the mid-plane.
const MIDDLE: [(&str, f64, f64); 8] = [
    ("tunnel-front", 1350.0, 215.0),
    ("tunnel-rear", 150.0, 190.0),
    ("dash-bar", 1250.0, 612.0),
    ("roof-front", 800.0, 1088.0),
    ("roof-back", -85.0, 1048.0),
    ("shelf", -330.0, 640.0),
    ("cowl", 1545.0, 690.0),
    ("tail", -1205.0, 480.0),
];
/// Splitmix64: small, seeded, the same everywhere.
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    pub(crate) fn normal(&mut self, sd: f64) -> f64 {
        sd * ((0..12).map(|_| self.uniform()).sum::<f64>() - 6.0)
    }
}

pub(crate) type V = [f64; 3];

pub(crate) fn sub(a: V, b: V) -> V {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(crate) fn dot(a: V, b: V) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn cross(a: V, b: V) -> V {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

pub(crate) fn norm(a: V) -> f64 {
    dot(a, a).sqrt()
}

pub(crate) fn unit(a: V) -> V {
    let length = norm(a);
    a.map(|x| x / length)
}

/// The quadratic form dᵀ M⁻¹ d of a symmetric 3 by 3 matrix: how little M knows along d.
pub(crate) fn ignorance(m: [V; 3], d: V) -> f64 {
    let cofactors = [cross(m[1], m[2]), cross(m[2], m[0]), cross(m[0], m[1])];
    let determinant = dot(m[0], cofactors[0]);
    (0..3)
        .map(|i| d[i] * dot(cofactors.map(|c| c[i]), d))
        .sum::<f64>()
        / determinant
}

pub(crate) struct Mark {
    pub(crate) label: String,
    pub(crate) side: &'static str,
    pub(crate) mirror: Option<usize>,
    pub(crate) at: V,
}

pub(crate) fn marks(dice: &mut Dice) -> Vec<Mark> {
    let mut marks = Vec::new();
    for (name, x, half, z) in PAIRS {
        for (letter, side, sign) in [("L", "left", 1.0), ("R", "right", -1.0)] {
            let partner = if sign > 0.0 {
                marks.len() + 1
            } else {
                marks.len() - 1
            };
            let at = [
                x + dice.normal(3.0),
                620.0 + sign * half + dice.normal(3.0),
                z + dice.normal(3.0),
            ];
            marks.push(Mark {
                label: format!("{name}-{letter}"),
                side,
                mirror: Some(partner),
                at,
            });
        }
    }
    for (name, x, z) in MIDDLE {
        let at = [
            x + dice.normal(3.0),
            620.0 + dice.normal(3.0),
            z + dice.normal(3.0),
        ];
        marks.push(Mark {
            label: name.to_owned(),
            side: "centre",
            mirror: None,
            at,
        });
    }
    // The frame: origin at the right rear sill, the right front sill ahead, the left rear sill to the left.
    let find = |label: &str| {
        marks
            .iter()
            .position(|m| m.label == label)
            .expect("a mark of the list")
    };
    let (origin, ahead, left) = (
        marks[find("sill-rear-R")].at,
        marks[find("sill-front-R")].at,
        marks[find("sill-rear-L")].at,
    );
    let x = unit(sub(ahead, origin));
    let z = unit(cross(x, sub(left, origin)));
    let y = cross(z, x);
    for mark in &mut marks {
        let d = sub(mark.at, origin);
        mark.at = [dot(d, x), dot(d, y), dot(d, z)];
    }
    marks
}
