//! The tube sizes of a first frame: small ones of a short list, grown until it passes with something in hand.

use serde_json::{Map, Value, json};

use super::figures::{Car, Figures, Front, RackTube};
use crate::checks::{Check, Finding};
use crate::math::largest;
use crate::model::{Model, entry_at};
use crate::run::{Checked, TubeJudged};

/// Sizes of one kind of tube, small to large: outside and wall, mm. The smallest is the least that
/// such a tube is commonly made of (common practice, no source).
type Ladder = &'static [(f64, f64)];

const MAIN: Ladder = &[
    (30.0, 1.5),
    (30.0, 2.0),
    (35.0, 2.0),
    (38.0, 2.0),
    (40.0, 2.5),
    (45.0, 2.5),
    (50.0, 3.0),
    (60.0, 4.0),
    (70.0, 5.0),
];
const BRACE: Ladder = &[
    (22.0, 1.5),
    (25.0, 1.5),
    (25.0, 2.0),
    (30.0, 2.0),
    (35.0, 2.0),
    (38.0, 2.0),
    (40.0, 2.5),
    (45.0, 2.5),
    (50.0, 3.0),
    (60.0, 3.0),
];
const ARM: Ladder = &[
    (25.0, 2.0),
    (28.0, 2.5),
    (30.0, 2.5),
    (32.0, 3.0),
    (35.0, 3.0),
    (40.0, 3.0),
    (45.0, 4.0),
    (50.0, 5.0),
    (60.0, 5.0),
    (70.0, 5.0),
    (80.0, 6.0),
    (90.0, 6.0),
];
const LINK: Ladder = &[(20.0, 2.0), (22.0, 2.0), (25.0, 2.5), (30.0, 3.0)];
const STRUT: Ladder = &[(35.0, 3.0), (40.0, 3.0), (45.0, 4.0), (50.0, 4.0), (50.0, 5.0), (60.0, 5.0), (70.0, 6.0)];

/// Smaller sizes than any that is chosen, which somebody may name.
const SMALL: Ladder = &[
    (20.0, 1.0),
    (20.0, 1.5),
    (20.0, 2.0),
    (22.0, 1.0),
    (22.0, 1.5),
    (22.0, 2.0),
    (25.0, 1.0),
    (25.0, 1.5),
    (25.0, 2.0),
    (28.0, 1.5),
    (28.0, 2.0),
];

/// A tube of the frame or a corner is at most so many times as wide as the rails that it is welded to
/// or hung on; common practice, no source.
const WIDEST_BESIDE_RAILS: f64 = 2.0;

/// The sizes that may be told for rails, the lightest first.
pub(super) fn rails() -> impl Iterator<Item = RackTube> {
    lightest_first(MAIN)
}

/// The sizes that may be told for posts and diagonals, the lightest first.
pub(super) fn braces() -> impl Iterator<Item = RackTube> {
    lightest_first(BRACE)
}

fn lightest_first(ladder: Ladder) -> impl Iterator<Item = RackTube> {
    let mut sizes: Vec<(f64, f64)> = SMALL.iter().chain(ladder).copied().collect();
    let area = |(od, wall): &(f64, f64)| (od - wall) * wall;
    sizes.sort_by(|one, other| area(one).total_cmp(&area(other)));
    sizes.dedup();
    sizes.into_iter().map(|(od, wall)| RackTube::of(od, wall))
}

/// What arms, links and struts are made of.
const ARM_MATERIAL: &str = "25CrMo4+N";

/// A chosen frame is used up to this part of its limits: its figures are not measured yet, and
/// joints, welds and fatigue ask for their part too.
const AT_MOST: f64 = 0.75;

/// The name of the rails' size.
const RAILS: &str = "main";

/// A kind of tube and its size.
#[derive(Debug, Clone, PartialEq)]
struct Group {
    name: &'static str,
    /// Sizes to choose from; none where the user named one.
    ladder: Ladder,
    /// Which of them.
    at: usize,
    named: Option<RackTube>,
    material: String,
    note: &'static str,
}

impl Group {
    fn size(&self) -> RackTube {
        self.named.clone().unwrap_or_else(|| {
            let (od_mm, wall_mm) = self.ladder[self.at];
            RackTube::of(od_mm, wall_mm)
        })
    }

    /// Whether there is a next size that is not too wide beside rails of this outside, mm.
    fn can_grow(&self, rails_mm: f64) -> bool {
        let next = self.ladder.get(self.at + 1).filter(|_| self.named.is_none());
        next.is_some_and(|(od_mm, _)| self.name == RAILS || *od_mm <= WIDEST_BESIDE_RAILS * rails_mm)
    }
}

/// The sizes of all tubes.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sizes(Vec<Group>);

impl Sizes {
    /// The smallest, or those that were named.
    pub(super) fn smallest(figures: &Figures, car: &Car) -> Sizes {
        let group = |name, ladder, named: &Option<RackTube>, material: &str, note| Group {
            name,
            ladder,
            at: 0,
            named: named.clone(),
            material: material.to_owned(),
            note,
        };
        let mut groups = vec![
            group(RAILS, MAIN, &figures.tube, &car.material, "rails and cross tubes"),
            group("brace", BRACE, &figures.brace, &car.material, "posts, diagonals, towers"),
            group("arm", ARM, &None, ARM_MATERIAL, "assumed: put in what your arms are made of"),
        ];
        if figures.front != Front::TrailingArm {
            groups.push(group("link", LINK, &None, ARM_MATERIAL, "assumed: put in what your tie rods are made of"));
        }
        if figures.front == Front::Strut {
            groups.push(group(
                "strut",
                STRUT,
                &None,
                ARM_MATERIAL,
                "assumed: the damper's body, as stiff and strong as this tube",
            ));
        }
        Sizes(groups)
    }

    /// The section `tubes` of a model.
    pub(super) fn section(&self) -> Map<String, Value> {
        let entry = |group: &Group| {
            let how = if group.named.is_some() { "as named" } else { "chosen from a short list by checking" };
            let note =
                if group.material == ARM_MATERIAL { group.note.to_owned() } else { format!("{}: {how}", group.note) };
            (group.name.to_owned(), json!({"round": group.size().section(), "material": group.material, "note": note}))
        };
        self.0.iter().map(entry).collect()
    }

    /// The size of one name in words: `38x2`.
    pub(super) fn words_of(&self, name: &str) -> String {
        self.0.iter().find(|group| group.name == name).map(|group| group.size().words()).unwrap_or_default()
    }

    /// Sizes in words: `main 38x2, brace 25x1.5`.
    pub(super) fn words(&self) -> String {
        let words: Vec<String> =
            self.0.iter().map(|group| format!("{} {}", group.name, group.size().words())).collect();
        words.join(", ")
    }

    /// The next sizes to try after a frame that does not do; `None`: nothing can grow any more.
    ///
    /// Tubes that are too weak grow. Where only movement is too much, the one kind grows that
    /// lowers it most, as `check` of the tried sizes finds.
    pub(super) fn next(
        &self,
        model: &Model,
        checked: &Checked,
        check: &mut dyn FnMut(&Sizes) -> Option<Checked>,
    ) -> Option<Sizes> {
        let over: Vec<&Finding> =
            checked.verdict.findings.iter().filter(|finding| finding.utilisation > AT_MOST).collect();
        if over.is_empty() {
            return None;
        }
        let mut weak = vec![false; self.0.len()];
        for finding in over.iter().filter(|finding| !is_movement(finding.check)) {
            if let Some(at) = tube_of(model, weak_tube(checked, finding))
                .and_then(|tube| self.0.iter().position(|group| group.name == tube))
            {
                weak[at] = true;
            }
        }
        let rails_mm = self.0.iter().find(|group| group.name == RAILS).map_or(0.0, |rails| rails.size().od_mm());
        let grown = |which: &dyn Fn(usize) -> bool| {
            let mut next = self.clone();
            // Where the rails keep others small, the rails grow.
            let held = self
                .0
                .iter()
                .enumerate()
                .any(|(at, group)| which(at) && !group.can_grow(rails_mm) && group.can_grow(f64::INFINITY));
            for (at, group) in next.0.iter_mut().enumerate() {
                if (which(at) || (held && group.name == RAILS)) && group.can_grow(rails_mm) {
                    group.at += 1;
                }
            }
            (next != *self).then_some(next)
        };
        if let Some(next) = grown(&|at| weak[at]) {
            return Some(next);
        }
        let tried = (0..self.0.len())
            .filter_map(|one| grown(&|at| at == one))
            .filter_map(|sizes| check(&sizes).map(|checked| (excess(&checked), sizes)));
        largest(tried, |(excess, _)| -excess).map(|(_, sizes)| sizes)
    }
}

/// The tube that a finding is about; of a joint the one that is welded onto.
fn weak_tube<'c>(checked: &'c Checked, finding: &'c Finding) -> &'c str {
    let judged = checked.verdict.tubes.get(&finding.case).and_then(|tubes| tubes.get(&finding.place));
    let joint = judged.and_then(TubeJudged::governing_joint).filter(|_| finding.check == Check::Joint);
    joint.map_or(&finding.place, |joint| &joint.chord)
}

/// By how much all findings together are over what is aimed at.
fn excess(checked: &Checked) -> f64 {
    checked.verdict.findings.iter().map(|finding| (finding.utilisation - AT_MOST).max(0.0)).sum()
}

fn is_movement(check: Check) -> bool {
    matches!(check, Check::PickupMove | Check::Toe | Check::Camber | Check::Twist)
}

/// The name of the size of a tube of frame or corner.
fn tube_of<'m>(model: &'m Model, place: &str) -> Option<&'m str> {
    let size = match place.split_once('/') {
        Some((corner, part)) => {
            let corner = model.corners.iter().find(|one| one.wheel.name() == corner)?;
            corner.kind.tubes().into_iter().find(|tube| tube.name == part)?.tube
        }
        None => model.members.get(place)?.tube,
    };
    Some(entry_at(&model.tubes, size).0)
}
