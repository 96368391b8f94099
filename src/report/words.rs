//! Sentences that a fabricator would say, shared by the terminal, the sheets and the page.

use super::{Report, modes};
use crate::checks::{Check, CriticalMoment, Finding, LateralResult, LateralSum, counting};
use crate::math::largest;
use crate::model::{Bolts, Model, TubeRef, entry_at, other_side};
use crate::run::{Crack, SecondOrder, TubeJudged, WeldJudged};
use crate::section::{InternalForces, Section};
use crate::structure::{Structure, Tube, TubeName};
use crate::units::{decimals, decimals_for, figures, spoken};

/// The caution in one line, for the terminal.
pub const CAUTION_LINE: &str =
    "A linear beam model supports and does not replace a qualified engineer; the whole caution stands in report.html.";

/// The whole caution, for each report.
pub const CAUTION: &[&str] = &[
    "This report comes from a linear beam model of a welded frame. It supports and does not replace a qualified engineer, \
     the championship's technical regulations and scrutineering, local road law, and proof tests and inspection of the welds.",
    "It is not for roll cages or other occupant-protection structure, whose form is fixed by regulation.",
    "The loads are only as good as the car's figures and the cases that were asked; a crash, a hit that no case contains and \
     misuse are outside it.",
];

/// What the model leaves out, for each report.
pub const LEFT_OUT: &[&str] = &[
    "Bending of a bracket itself, and ovalising of a thin wall at a joint that is not \"tube-on-tube\".",
    "Defects of welds and the stress that welding leaves.",
    "Crash, and fatigue from vibration that no case contains.",
    "Tyres and bushes that stiffen as they are loaded; damper forces at speed (raise the wheel force of a kerb case).",
    "Suspension travel: the car is judged as drawn.",
    "Spread of force along a pivot line: it follows from the frame's own stiffness, and rubber bushes would change it.",
];

/// What the accuracy line says.
pub const ACCURACY: &str =
    "Arithmetic checked: forces balance at every joint. This says nothing about the joints, the welds or the loads.";

/// A length or size, mm, with two digits after the point, or as many more as two figures need, and
/// none at the end that are zero.
pub fn size_mm(value: f64) -> String {
    let text = decimals(value, decimals_for(value, 2).max(2));
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A section as it stands on the rack: `38.1×2.03`, `30×30×2`, `bar 16`, `flat 40×5`.
pub fn section_name(section: &Section) -> String {
    match section {
        Section::Round(tube) => format!("{}×{}", size_mm(tube.od_mm), size_mm(tube.wall_mm)),
        Section::Box(tube) => {
            format!("{}×{}×{}", size_mm(tube.width_mm), size_mm(tube.depth_mm), size_mm(tube.wall_mm))
        }
        Section::Bar(bar) => format!("bar {}", size_mm(bar.od_mm)),
        Section::Flat(flat) => format!("flat {}×{}", size_mm(flat.width_mm), size_mm(flat.thickness_mm)),
        Section::Given(_) => "given section".to_owned(),
    }
}

/// A force with its unit, to three figures: `6.12 kN`, `85.3 N`.
pub fn force(newton: f64) -> String {
    if newton.abs() >= 1000.0 {
        format!("{} kN", spoken(newton / 1000.0, 3))
    } else {
        format!("{} N", figures(newton, 3))
    }
}

/// A moment with its unit, to three figures.
pub fn moment(newton_metre: f64) -> String {
    format!("{} N·m", spoken(newton_metre, 3))
}

/// How many times its limit something reaches, to three figures. Where the limit is next to nothing,
/// or nothing, a number tells no more than that it is many times.
pub fn times(utilisation: f64) -> String {
    const MANY: f64 = 1000.0;
    if utilisation > MANY { "more than 1000".to_owned() } else { figures(utilisation, 3) }
}

/// The unit of a check's value, with a blank before it; empty where it has none.
pub fn unit(check: Check) -> &'static str {
    match check {
        Check::Yield => " MPa",
        Check::Column | Check::Lateral | Check::Wall | Check::Joint | Check::Weld => "",
        Check::RodEnd | Check::Bolts | Check::Fatigue => "",
        Check::Buckling => " times",
        Check::Frequency => " Hz",
        Check::PickupMove => " mm",
        Check::Toe | Check::Camber => "°",
        Check::Twist => " N·m/deg",
    }
}

/// What a check is called in a table.
pub fn check_name(check: Check) -> &'static str {
    match check {
        Check::Yield => "yield",
        Check::Column => "column",
        Check::Lateral => "sideways",
        Check::Wall => "wall",
        Check::Buckling => "buckling",
        Check::Frequency => "frequency",
        Check::Joint => "joint",
        Check::Weld => "weld",
        Check::RodEnd => "rod-end",
        Check::Bolts => "bolts",
        Check::Fatigue => "fatigue",
        Check::PickupMove => "pick-up moves",
        Check::Toe => "toe",
        Check::Camber => "camber",
        Check::Twist => "twist",
    }
}

/// What a finding is about, after which its case may follow: `yield of brace.l`, `twist`.
///
/// The place of a twist test is its case, which is not said twice, and that of a frequency its mode.
pub fn check_and_place(finding: &Finding) -> String {
    let check = match finding.check {
        Check::PickupMove => "movement",
        check => check_name(check),
    };
    if finding.place == finding.case || finding.check == Check::Frequency {
        check.to_owned()
    } else {
        format!("{check} of {}", finding.place)
    }
}

/// A tube of a model by its name in results.
pub(super) fn tube<'r>(report: &'r Report<'_>, name: &str) -> Option<&'r Tube> {
    let structure = &report.prepared.system.structure;
    structure
        .tubes
        .iter()
        .enumerate()
        .find(|(at, _)| structure.tube_name(report.model, *at) == name)
        .map(|(_, tube)| tube)
}

/// A tube with its size and material: `brace.l (19×1.22, E235+N)`.
pub fn tube_title(report: &Report<'_>, name: &str) -> String {
    match tube(report, name).and_then(|tube| tube.size) {
        Some(size) => {
            let size = &report.model.tubes[size];
            let (material, _) = entry_at(&report.model.materials, size.material);
            format!("{name} ({}, {material})", section_name(&size.section))
        }
        None => name.to_owned(),
    }
}

/// Where on a tube: `at its end on A.l`, `at bracket LF.l`, `120 mm from its end on A.l`.
pub fn place_on_tube(report: &Report<'_>, name: &str, at_mm: f64) -> String {
    match tube(report, name) {
        Some(tube) => place_of(report.model, &report.prepared.system.structure, tube, at_mm),
        None => format!("{} mm from its first end", figures(at_mm, 3)),
    }
}

/// The same of a tube that is at hand.
pub fn place_of(model: &Model, structure: &Structure, tube: &Tube, at_mm: f64) -> String {
    match PlaceOnTube::new(model, structure, tube, at_mm) {
        PlaceOnTube::End(name) => format!("at its end on {name}"),
        PlaceOnTube::Anchor(name) => format!("at {name}"),
        PlaceOnTube::Along { mm, from } => format!("{} mm from its end on {from}", figures(mm, 3)),
    }
}

/// The same of a tube by its name, for a table.
pub fn short_place(report: &Report<'_>, name: &str, at_mm: f64) -> String {
    tube(report, name)
        .map_or_else(String::new, |tube| short_place_of(report.model, &report.prepared.system.structure, tube, at_mm))
}

/// The same for a table, where room is short: `at A.l`, `120 mm from A.l`.
pub fn short_place_of(model: &Model, structure: &Structure, tube: &Tube, at_mm: f64) -> String {
    match PlaceOnTube::new(model, structure, tube, at_mm) {
        PlaceOnTube::End(name) | PlaceOnTube::Anchor(name) => format!("at {name}"),
        PlaceOnTube::Along { mm, from } => format!("{} mm from {from}", figures(mm, 3)),
    }
}

/// A place on a tube by what is there.
enum PlaceOnTube {
    /// The end on something of this name.
    End(String),
    /// An inner place where something of this name is.
    Anchor(String),
    /// So far from the nearer end, which is on something of this name.
    Along { mm: f64, from: String },
}

impl PlaceOnTube {
    fn new(model: &Model, structure: &Structure, tube: &Tube, at_mm: f64) -> Self {
        let [first, second] = end_names(model, tube);
        let near = |place_mm: f64| (place_mm - at_mm).abs() < 0.5;
        if near(0.0) {
            return PlaceOnTube::End(first);
        }
        if near(tube.length_mm) {
            return PlaceOnTube::End(second);
        }
        for piece in tube.pieces.clone().skip(1) {
            let drawn = &structure.pieces[piece];
            let anchors = &structure.parts[drawn.ends[0].part].anchors;
            if near(drawn.start_mm)
                && let Some(anchor) = anchors.first()
            {
                return PlaceOnTube::Anchor(model.anchor_name(*anchor).to_owned());
            }
        }
        if at_mm <= tube.length_mm / 2.0 {
            PlaceOnTube::Along { mm: at_mm, from: first }
        } else {
            PlaceOnTube::Along { mm: tube.length_mm - at_mm, from: second }
        }
    }
}

/// Names of what the two ends of a tube are on.
fn end_names(model: &Model, tube: &Tube) -> [String; 2] {
    let anchor = |anchor| model.anchor_name(anchor).to_owned();
    match tube.name {
        TubeName::Tube(TubeRef::Member(member)) => {
            let nodes = &model.members[member].nodes;
            [anchor(nodes[0]), anchor(nodes[nodes.len() - 1])]
        }
        TubeName::Tube(TubeRef::Corner { corner, tube }) => {
            let drawn = &model.corners[corner].kind.tubes()[tube];
            [anchor(drawn.inner), "the upright".to_owned()]
        }
        TubeName::Spring(corner) => {
            let top = model.corners[corner].kind.spring().map(|spring| anchor(spring.top));
            [top.unwrap_or_default(), "its foot".to_owned()]
        }
    }
}

/// What a tube carries at a place: `pushed 6.1 kN and bent by 84 N·m`. At a jump the side that
/// is bent more; a push or pull of a few newtons is left out.
///
/// `deformed`: on the deformed frame.
fn carries(report: &Report<'_>, finding: &Finding, at_mm: f64, deformed: bool) -> Option<String> {
    let case = match report.outcome.second_order.get(&finding.case).filter(|_| deformed) {
        Some(SecondOrder::Settled(settled)) => &settled.case,
        _ => report.outcome.cases.get(&finding.case)?,
    };
    let along = &case.members.get(&finding.place)?.along;
    let away = along.iter().map(|station| (station.at_mm - at_mm).abs()).fold(f64::INFINITY, f64::min);
    let there = along.iter().filter(|station| (station.at_mm - at_mm).abs() <= away + 1e-6);
    let bending_nm = |forces: &InternalForces| forces.my.hypot(forces.mz) / 1000.0;
    let forces = largest(there.map(|station| &station.forces), |forces| bending_nm(forces))?;
    let (bending, torque) = (bending_nm(forces), forces.t.abs() / 1000.0);
    let mut parts = Vec::new();
    if forces.n.abs() >= 10.0 {
        let word = if forces.n < 0.0 { "pushed" } else { "pulled" };
        parts.push(format!("{word} {}", force(forces.n.abs())));
    }
    if bending >= 0.1 {
        parts.push(format!("bent by {}", moment(bending)));
    }
    if torque > 0.2 * bending && torque >= 0.1 {
        parts.push(format!("twisted by {}", moment(torque)));
    }
    match parts.as_slice() {
        [] => None,
        [one] => Some(one.clone()),
        [first @ .., last] => Some(format!("{} and {last}", first.join(", "))),
    }
}

/// Which part of a sum something is, where that is a tenth of it at least.
fn share(part: f64, sum: f64, what: &str) -> String {
    const WORTH_TELLING: f64 = 0.1;
    if part < WORTH_TELLING * sum {
        return String::new();
    }
    format!("; {} of the {} is {what}", times(part), times(sum))
}

/// What of a flat's sum is not its bending on edge.
fn beside_bending_on_edge(result: &LateralResult) -> String {
    let push = result.forces.push_parts[usize::from(result.governs == LateralSum::Weak)];
    let weak = if result.sideways.is_some() { result.forces.k[1] * result.forces.weak_part } else { 0.0 };
    share(weak, result.sum, "bending about its weaker axis") + &share(push, result.sum, "the push along it")
}

/// A finding as a sentence without a full stop.
pub fn sentence(report: &Report<'_>, finding: &Finding) -> String {
    if let Some((name, moved)) = report.at_positions().find(|(name, _)| *name == finding.position) {
        let as_there = Finding { position: String::new(), ..finding.clone() };
        return format!("with {name}, {}", sentence(&moved, &as_there));
    }
    let (value, limit) = (spoken(finding.value, 3), spoken(finding.limit, 3));
    let times = times(finding.utilisation);
    let case = format!("in \"{}\"", finding.case);
    let unit = unit(finding.check);
    let judged = report.verdict.tubes.get(&finding.case).and_then(|tubes| tubes.get(&finding.place));
    match finding.check {
        Check::Yield => {
            let title = tube_title(report, &finding.place);
            let deformed = judged.and_then(|judged: &TubeJudged| judged.deformed);
            let result = deformed.or(judged.and_then(|judged| judged.yielding));
            let at_mm = result.map_or(0.0, |result| result.at_mm);
            let beside = if result.is_some_and(|result| result.at_weld) { " beside the weld" } else { "" };
            let place = place_on_tube(report, &finding.place, at_mm);
            let carries = carries(report, finding, at_mm, deformed.is_some())
                .map(|words| format!(": it is {words}"))
                .unwrap_or_default();
            let deformed = on_the_deformed_frame(deformed.is_some());
            format!("{title} reaches {times} times what it may carry, {place}{beside}, {case}{deformed}{carries}")
        }
        Check::Column => {
            let title = tube_title(report, &finding.place);
            let figures_of = judged.and_then(|judged| judged.column).map(|(length_mm, forces, result)| {
                let with_frame = result.frame_length_mm.map(modes::longer_column).unwrap_or_default();
                let bending = report.model.cases[&finding.case].limits.column_margin.map(|margin| {
                    let axis = usize::from(!result.y_governs);
                    share(result.sum - forces.push_n * margin / result.n_b_rd_n[axis], result.sum, "bending")
                });
                format!(
                    ": it is pushed {} over a free length of {} mm{with_frame}{}",
                    force(forces.push_n),
                    figures(length_mm, 3),
                    bending.unwrap_or_default()
                )
            });
            format!(
                "{title} reaches {times} times what it may carry as a column, {case}{}",
                figures_of.unwrap_or_default()
            )
        }
        Check::Lateral => {
            let title = tube_title(report, &finding.place);
            let bent = judged.and_then(|judged| judged.lateral).map(|result| {
                let bent = moment(result.forces.moment_nmm / 1000.0);
                let beside = beside_bending_on_edge(&result);
                let how = match result.sideways.map(|sideways| sideways.source) {
                    Some(CriticalMoment::EvenStrip(length_mm)) => format!(
                        ": bent on edge by {bent} over {} mm that nothing holds it swings out and twists",
                        figures(length_mm, 3)
                    ),
                    None => format!(
                        ": bent on edge by {bent}, and held by nothing against turning about itself, it lies over and is bent about its weaker axis"
                    ),
                    Some(CriticalMoment::InFrame(factor)) => format!(
                        ": bent on edge by {bent} it swings out and twists at {} times that in its frame, if it stays elastic",
                        figures(factor, 3)
                    ),
                    Some(CriticalMoment::InFrameAtLeast(factor)) => {
                        format!(": bent on edge by {bent}; it swings out and twists at no less than {} times that", figures(factor, 3))
                    }
                };
                format!("{how}{beside}")
            });
            format!(
                "{title} reaches {times} times what it may carry before it gives way sideways, {case}{}",
                bent.unwrap_or_default()
            )
        }
        Check::Wall => {
            let title = tube_title(report, &finding.place);
            let word = if finding.fails() {
                "is too thin for the method: its slenderness is"
            } else {
                "is thick enough: its slenderness is"
            };
            format!("the wall of {title} {word} {value}; the limit is {limit}")
        }
        Check::Joint => {
            let title = tube_title(report, &finding.place);
            let Some(joint) = judged.and_then(TubeJudged::governing_joint) else {
                return format!("{title} loads the wall it is welded onto to {times} times what it may carry, {case}");
            };
            let place = place_on_tube(report, &finding.place, joint.at_mm);
            let carries = carries(report, finding, joint.at_mm, joint.deformed)
                .map(|words| format!(": it is {words}"))
                .unwrap_or_default();
            format!(
                "{title} loads the wall of {}, onto which it is welded, to {times} times what it may carry, {place}, {case}{}{carries}; what gives way first: {}",
                joint.chord,
                on_the_deformed_frame(joint.deformed),
                joint.result.failure.words()
            )
        }
        Check::Weld => weld_sentence(report, finding, judged.and_then(TubeJudged::governing_weld)),
        Check::RodEnd => rod_end_sentence(report, finding),
        Check::Bolts => bolts_sentence(report, finding),
        Check::Fatigue => fatigue_sentence(report, finding),
        Check::PickupMove => {
            format!(
                "pick-up {} moves {value}{unit} from where it stands, {case}; the limit is {limit}{unit}",
                finding.place
            )
        }
        Check::Toe | Check::Camber => {
            let word = check_name(finding.check);
            format!("wheel {} changes its {word} by {value}{unit}, {case}; the limit is {limit}{unit}", finding.place)
        }
        Check::Buckling => {
            let shape = modes::buckling_shape(report, &finding.case).map(|shape| format!(": {shape}"));
            format!(
                "the frame buckles at {value} times its load {case}; the limit is {limit}{}",
                shape.unwrap_or_default()
            )
        }
        Check::Frequency => {
            let shape = modes::vibration_shape(report, 0).map(|shape| format!(": {shape}"));
            format!("the lowest natural frequency is {value} Hz; the limit is {limit} Hz{}", shape.unwrap_or_default())
        }
        Check::Twist => format!("the frame resists twist with {value}{unit} {case}; the limit is {limit}{unit}"),
    }
}

/// Where a finding is of the deformed frame, behind its case.
pub fn on_the_deformed_frame(is_there: bool) -> &'static str {
    if is_there { " on the deformed frame" } else { "" }
}

/// A weld's finding: what it reaches, where, with which throat, and what the tube does to it.
fn weld_sentence(report: &Report<'_>, finding: &Finding, judged: Option<&WeldJudged>) -> String {
    let title = tube_title(report, &finding.place);
    let times = times(finding.utilisation);
    let Some(judged) = judged else { return format!("the weld of {title} reaches {times} times what it may carry") };
    let place = place_on_tube(report, &finding.place, judged.at_mm);
    let carries =
        carries(report, finding, judged.at_mm, judged.deformed).map(|words| format!(": there the tube is {words}"));
    format!(
        "the weld of {title} {place}, throat {} mm, reaches {times} times what it may carry, in \"{}\"{}{}",
        size_mm(judged.result.weld.throat_mm),
        finding.case,
        on_the_deformed_frame(judged.deformed),
        carries.unwrap_or_default()
    )
}

/// A rod-end's finding: what it reaches, by which of its limits, and what acts on it.
fn rod_end_sentence(report: &Report<'_>, finding: &Finding) -> String {
    let (place, case, times) = (&finding.place, &finding.case, times(finding.utilisation));
    let Some(judged) = report.verdict.rod_ends.get(case).and_then(|parts| parts.get(place)) else {
        return format!("the rod-end of {place} reaches {times} times what it may carry, in \"{case}\"");
    };
    let result = &judged.result;
    let what = match result.shank {
        Some(shank) if shank >= result.utilisation => "what its shank may be bent and pulled",
        _ if result.rating >= result.utilisation => "the maker's figure with the margin",
        _ => "what it may bear across its thread",
    };
    // Less is the tube's own weight, or round-off.
    const HARDLY_ANY_N: f64 = 10.0;
    let across = match result.across_n {
        hardly_any if hardly_any < HARDLY_ANY_N => String::new(),
        across => {
            let off_mm = size_mm(judged.part.stick_out_mm);
            format!(" and {} across it, {off_mm} mm from where it is held", force(across))
        }
    };
    format!(
        "the rod-end of {place} ({}) reaches {times} times {what}, in \"{case}\"{}: {} along its thread{across}",
        judged.part.thread.name(),
        on_the_deformed_frame(judged.deformed),
        force(result.along_n.abs())
    )
}

/// What bolts are: `2 × M10 8.8`.
pub fn bolts_name(bolts: &Bolts) -> String {
    format!("{} × {} {}", bolts.count, bolts.thread.name(), bolts.class.name)
}

/// A finding of bolts: what they reach, and what one of them bears.
fn bolts_sentence(report: &Report<'_>, finding: &Finding) -> String {
    let (place, case, times) = (&finding.place, &finding.case, times(finding.utilisation));
    let Some(judged) = report.verdict.bolts.get(case).and_then(|mounts| mounts.get(place)) else {
        return format!("the bolts of {place} reach {times} times what they may carry, in \"{case}\"");
    };
    let result = &judged.result;
    let bears = match judged.bolts.along {
        Some(_) => format!("one is sheared by {} and pulled by {}", force(result.shear_n), force(result.tension_n)),
        None => format!("one bears {}, whichever way the bolts point", force(result.shear_n)),
    };
    format!(
        "the bolts of {place} ({}) reach {times} times what they may carry, in \"{case}\"{}: {bears}",
        bolts_name(&judged.bolts),
        on_the_deformed_frame(judged.deformed)
    )
}

/// A finding of fatigue: where it cracks, after how many lives of the duty, by which event most.
fn fatigue_sentence(report: &Report<'_>, finding: &Finding) -> String {
    let title = tube_title(report, &finding.place);
    let judged = report.verdict.fatigue.as_ref().and_then(|all| Some((all, all.tubes.get(&finding.place)?)));
    let Some((all, judged)) = judged else {
        return format!("{title} uses up {} of its life", times(finding.utilisation));
    };
    let there = on_the_deformed_frame(judged.deformed);
    let place = format!("{}{there}", place_on_tube(report, &finding.place, judged.at_mm));
    if judged.used(0.0) > 0.0 {
        return format!(
            "{title} is strained to and fro by {} times what EN 1993-1-9 covers at all, {place}",
            figures(judged.ceiling, 3)
        );
    }
    let asked = report.model.limits.fatigue.map_or(String::new(), |lives| format!("; {} are asked", figures(lives, 3)));
    let (Some(lives), Some(event)) = (judged.lives(), judged.worst_event()) else {
        return format!("{title} is strained too little for a crack, whatever the number of lives{asked}");
    };
    let part = 100.0 * judged.events[event].damage / judged.damage;
    format!(
        "{} of {title} may crack after {} lives of the duty, {place}{asked}: {} % of the damage is from \"{}\"",
        crack_name(judged.crack),
        figures(lives, 3),
        figures(part, 2),
        all.events[event]
    )
}

/// Where in a weld a crack begins.
pub fn crack_name(crack: Crack) -> &'static str {
    match crack {
        Crack::Root => "the weld's root",
        Crack::Wall | Crack::Lattice => "the wall beside the weld",
    }
}

/// Something with the option whose change is in it, if any: `braking, with option "K brace"`.
pub fn with_option(what: &str, option: Option<&str>) -> String {
    match option {
        Some(option) => format!("{what}, with option \"{option}\""),
        None => what.to_owned(),
    }
}

/// The verdict in one sentence.
pub fn verdict(report: &Report<'_>) -> String {
    let verdict = report.verdict;
    let worst = counting(verdict.worst_first());
    let of = |word: &str| with_option(word, report.option);
    match (verdict.passes(), worst.first()) {
        (true, None) => format!("{}: no limit applies to what was asked.", of("Nothing was judged")),
        (true, Some(finding)) => {
            let nearest = sentence(report, finding);
            format!("{}: every limit that was judged is met. Nearest to its limit: {nearest}.", of("Passes"))
        }
        (false, Some(finding)) => format!("{}: {}.", of("Fails"), sentence(report, finding)),
        (false, None) => unreachable!("a verdict that fails has a finding that fails"),
    }
}

/// The worst findings: of a verdict that fails those that fail, else those nearest to their limits.
///
/// One for each tube and each way of moving: mirror twins count as one, and so do all pick-ups and
/// all wheels, whose movements go together.
pub fn worst<'r>(report: &'r Report<'_>, count: usize) -> Vec<&'r Finding> {
    let mut seen: Vec<(Check, String)> = Vec::new();
    let mut shown = Vec::new();
    for finding in counting(report.verdict.worst_first()) {
        let thing = match finding.check {
            Check::PickupMove | Check::Toe | Check::Camber | Check::Twist | Check::Buckling | Check::Frequency => {
                String::new()
            }
            Check::Yield
            | Check::Column
            | Check::Lateral
            | Check::Wall
            | Check::Joint
            | Check::Weld
            | Check::RodEnd
            | Check::Bolts
            | Check::Fatigue => finding.place.clone(),
        };
        let twin = other_side(&thing);
        let known = |(check, known): &(Check, String)| *check == finding.check && (*known == thing || *known == twin);
        if shown.len() == count || (!finding.fails() && !report.verdict.passes()) {
            break;
        }
        if !seen.iter().any(known) {
            seen.push((finding.check, thing));
            shown.push(finding);
        }
    }
    shown
}

/// How many there are of something.
pub fn counted(count: usize, one: &str, more: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { more })
}
