//! The figures on the way to the checks, as the machine-readable result has them: forces N, moments N·m,
//! without margin.

use serde::Serialize;

use super::json::Number;
use crate::checks::{CriticalMoment, Detail, GapRule, LateralResult, LateralSum, ROOT_SHEAR, WeldMetal};
use crate::run::{BoltsJudged, Crack, EventDamage, FatigueJudged, JointJudged, RodEndJudged, TubeJudged, WeldJudged};

/// All figures on the way of a tube, by check.
#[derive(Serialize)]
pub(super) struct WorkingJson {
    #[serde(rename = "yield", skip_serializing_if = "Option::is_none")]
    yielding: Option<YieldJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    column: Option<ColumnJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lateral: Option<LateralJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wall: Option<WallJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    joint: Option<JointJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    weld: Option<WeldJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rod_end: Option<RodEndJson>,
}

#[derive(Serialize)]
struct YieldJson {
    von_mises: Number,
    at: Number,
    strength: Number,
}

#[derive(Serialize)]
struct ColumnJson {
    length: Number,
    n_ed: Number,
    m_y_ed: Number,
    m_z_ed: Number,
    n_cr: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    length_with_frame: Option<Number>,
    slenderness: Number,
    chi: Number,
    n_b_rd: Number,
    m_y_rd: Number,
    m_z_rd: Number,
    cm_y: Number,
    cm_z: Number,
    k_yy: Number,
    k_yz: Number,
    k_zy: Number,
    k_zz: Number,
}

#[derive(Serialize)]
struct WallJson {
    slenderness: Number,
    limit: Number,
}

#[derive(Serialize)]
struct JointJson {
    end: usize,
    chord: String,
    kind: &'static str,
    theta: Number,
    beta: Number,
    gamma: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    gap: Option<Number>,
    n_ed: Number,
    m_ip_ed: Number,
    m_op_ed: Number,
    chord_push: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    k_p: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    k_n: Option<Number>,
    n_rd: Number,
    m_ip_rd: Number,
    m_op_rd: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    in_gap: Option<InGapJson>,
    failure: &'static str,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    deformed: bool,
    clause: &'static str,
}

/// The chord between two braces: N.
#[derive(Serialize)]
struct InGapJson {
    n_ed: Number,
    v_ed: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    v_across_ed: Option<Number>,
    n_rd: Number,
    v_rd: Number,
    utilisation: Number,
}

impl JointJson {
    fn of(joint: &JointJudged) -> Self {
        let (shape, forces, result) = (&joint.shape, &joint.forces, &joint.result);
        let is_round = shape.chord.is_round;
        let factor = Number(result.chord_factor);
        Self {
            end: joint.end + 1,
            chord: joint.chord.clone(),
            kind: joint.kind,
            theta: Number(shape.angle_rad.to_degrees()),
            beta: Number(shape.beta()),
            gamma: Number(shape.gamma()),
            gap: joint.gap_mm.map(Number),
            n_ed: Number(forces.n_n),
            m_ip_ed: Number(forces.in_plane_nmm / 1000.0),
            m_op_ed: Number(forces.out_of_plane_nmm / 1000.0),
            chord_push: Number(forces.chord_push_mpa),
            k_p: is_round.then_some(factor),
            k_n: (!is_round).then_some(factor),
            n_rd: Number(result.n_rd_n),
            m_ip_rd: Number(result.in_plane_rd_nmm / 1000.0),
            m_op_rd: Number(result.out_of_plane_rd_nmm / 1000.0),
            in_gap: result.in_gap.as_ref().map(|found| InGapJson {
                n_ed: Number(found.forces.n_n),
                v_ed: Number(found.forces.shear_n),
                v_across_ed: (found.rule == GapRule::Squares).then_some(Number(found.forces.across_n)),
                n_rd: Number(found.n_rd_n),
                v_rd: Number(found.v_rd_n),
                utilisation: Number(found.utilisation),
            }),
            failure: result.failure.name(),
            deformed: joint.deformed,
            clause: joint.clause(),
        }
    }
}

impl WorkingJson {
    pub(super) fn of(judged: Option<&TubeJudged>, rod_end: Option<&RodEndJudged>) -> Self {
        let column = judged.and_then(|judged| judged.column.as_ref()).map(|(length_mm, forces, result)| {
            let axis = usize::from(!result.y_governs);
            ColumnJson {
                length: Number(*length_mm),
                n_ed: Number(forces.push_n),
                m_y_ed: Number(forces.my_nmm / 1000.0),
                m_z_ed: Number(forces.mz_nmm / 1000.0),
                n_cr: Number(result.n_cr_n[axis]),
                length_with_frame: result.frame_length_mm.map(Number),
                slenderness: Number(result.slenderness[axis]),
                chi: Number(result.chi[axis]),
                n_b_rd: Number(result.n_b_rd_n[axis]),
                m_y_rd: Number(result.m_rd_nmm[0] / 1000.0),
                m_z_rd: Number(result.m_rd_nmm[1] / 1000.0),
                cm_y: Number(result.cm[0]),
                cm_z: Number(result.cm[1]),
                k_yy: Number(result.k[0]),
                k_yz: Number(result.k[1]),
                k_zy: Number(result.k[2]),
                k_zz: Number(result.k[3]),
            }
        });
        Self {
            yielding: judged.and_then(|judged| judged.yielding).map(|result| YieldJson {
                von_mises: Number(result.stress_mpa),
                at: Number(result.at_mm),
                strength: Number(result.strength_mpa),
            }),
            column,
            lateral: judged.and_then(|judged| judged.lateral).as_ref().map(LateralJson::of),
            wall: judged
                .and_then(|judged| judged.wall)
                .map(|result| WallJson { slenderness: Number(result.slenderness), limit: Number(result.limit) }),
            joint: judged.and_then(TubeJudged::governing_joint).map(JointJson::of),
            weld: judged.and_then(TubeJudged::governing_weld).map(WeldJson::of),
            rod_end: rod_end.map(RodEndJson::of),
        }
    }
}

/// A flat that is bent on edge.
#[derive(Serialize)]
struct LateralJson {
    /// Over which nothing holds it, where M_cr is that of an even strip.
    #[serde(skip_serializing_if = "Option::is_none")]
    length: Option<Number>,
    /// Times the moments of the case at which it gives way in its frame, where M_cr is of that.
    #[serde(skip_serializing_if = "Option::is_none")]
    factor: Option<Number>,
    /// Or at which it does not yet.
    #[serde(skip_serializing_if = "Option::is_none")]
    factor_at_least: Option<Number>,
    /// Whether nothing holds it against turning about itself, so that it lies over.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    lies_over: bool,
    m_ed: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    m_cr: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    slenderness: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    chi: Option<Number>,
    m_b_rd: Number,
    push: Number,
    weak: Number,
}

impl LateralJson {
    fn of(result: &LateralResult) -> Self {
        let [mut length, mut factor, mut factor_at_least] = [const { None }; 3];
        match result.sideways.map(|sideways| sideways.source) {
            Some(CriticalMoment::EvenStrip(length_mm)) => length = Some(Number(length_mm)),
            Some(CriticalMoment::InFrame(times)) => factor = Some(Number(times)),
            Some(CriticalMoment::InFrameAtLeast(times)) => factor_at_least = Some(Number(times)),
            None => {}
        }
        let axis = match result.governs {
            LateralSum::Strong => 0,
            LateralSum::Weak => 1,
        };
        Self {
            length,
            factor,
            factor_at_least,
            lies_over: result.sideways.is_none(),
            m_ed: Number(result.forces.moment_nmm / 1000.0),
            m_cr: result.sideways.map(|sideways| Number(sideways.m_cr_nmm / 1000.0)),
            slenderness: result.sideways.map(|sideways| Number(sideways.slenderness)),
            chi: result.sideways.map(|sideways| Number(sideways.chi)),
            m_b_rd: Number(result.m_rd_nmm / 1000.0),
            push: Number(result.forces.push_parts[axis]),
            weak: Number(result.forces.k[1] * result.forces.weak_part),
        }
    }
}

/// The weld of a tube that is nearest to its limit.
#[derive(Serialize)]
struct WeldJson {
    at: Number,
    n_ed: Number,
    v_y_ed: Number,
    v_z_ed: Number,
    t_ed: Number,
    m_y_ed: Number,
    m_z_ed: Number,
    throat: Number,
    length: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    f_u: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    beta_w: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    f_w: Option<Number>,
    s_perp: Number,
    t_perp: Number,
    t_par: Number,
    s_eq: Number,
    s_rd: Number,
    directional: Number,
    f_w_ed: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    f_w_rd: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    simplified: Option<Number>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    deformed: bool,
    clause: &'static str,
}

impl WeldJson {
    fn of(judged: &WeldJudged) -> Self {
        let result = &judged.result;
        let (forces, metal) = (&result.forces, &result.weld.metal);
        let (f_u, beta_w, f_w, clause) = match *metal {
            WeldMetal::Steel { ultimate_mpa, correlation } => {
                (Some(Number(ultimate_mpa)), Some(Number(correlation)), None, "EN 1993-1-8 4.5.3.2")
            }
            WeldMetal::Aluminium { strength_mpa } => (None, None, Some(Number(strength_mpa)), "EN 1999-1-1 8.6"),
        };
        Self {
            at: Number(judged.at_mm),
            n_ed: Number(forces.n),
            v_y_ed: Number(forces.vy),
            v_z_ed: Number(forces.vz),
            t_ed: Number(forces.t / 1000.0),
            m_y_ed: Number(forces.my / 1000.0),
            m_z_ed: Number(forces.mz / 1000.0),
            throat: Number(result.weld.throat_mm),
            length: Number(result.weld.line.figures().length_mm),
            f_u,
            beta_w,
            f_w,
            s_perp: Number(result.stress.normal),
            t_perp: Number(result.stress.across),
            t_par: Number(result.stress.along),
            s_eq: Number(result.stress.comparison_mpa()),
            s_rd: Number(metal.resistance_mpa()),
            directional: Number(result.directional),
            f_w_ed: Number(result.line_force_n_mm),
            f_w_rd: metal.shear_resistance_mpa().map(|shear| Number(shear * result.weld.throat_mm)),
            simplified: result.simplified.map(Number),
            deformed: judged.deformed,
            clause,
        }
    }
}

/// The rod-end of a part that is nearest to its limit.
#[derive(Serialize)]
struct RodEndJson {
    at: Number,
    n_ed: Number,
    v_ed: Number,
    m_ed: Number,
    stress_area: Number,
    rated: Number,
    rating: Number,
    across: Number,
    shank_stress: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    shank: Option<Number>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    deformed: bool,
}

impl RodEndJson {
    fn of(judged: &RodEndJudged) -> Self {
        let result = &judged.result;
        Self {
            at: Number(judged.at_mm),
            n_ed: Number(result.along_n),
            v_ed: Number(result.across_n),
            m_ed: Number(result.bending_nmm / 1000.0),
            stress_area: Number(judged.part.thread.stress_area_mm2()),
            rated: Number(judged.part.rated_n),
            rating: Number(result.rating),
            across: Number(result.along_bolt),
            shank_stress: Number(result.shank_mpa),
            shank: result.shank.map(Number),
            deformed: judged.deformed,
        }
    }
}

/// The bolts of a mount.
#[derive(Serialize)]
pub(super) struct BoltsJson {
    utilisation: Number,
    f_v_ed: Number,
    f_t_ed: Number,
    f_v_rd: Number,
    f_t_rd: Number,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    deformed: bool,
    clause: &'static str,
}

impl BoltsJson {
    pub(super) fn of(judged: &BoltsJudged) -> Self {
        let result = &judged.result;
        Self {
            utilisation: Number(result.utilisation),
            f_v_ed: Number(result.shear_n),
            f_t_ed: Number(result.tension_n),
            f_v_rd: Number(result.shear_resistance_n),
            f_t_rd: Number(result.tension_resistance_n),
            deformed: judged.deformed,
            clause: "EN 1993-1-8 Table 3.4",
        }
    }
}

/// What the duty uses up of a tube's life.
#[derive(Serialize)]
pub(super) struct FatigueJson<E> {
    damage: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    lives: Option<Number>,
    at: Number,
    crack: &'static str,
    category: Number,
    normal_e2: Number,
    shear_e2: Number,
    ceiling: Number,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    deformed: bool,
    events: E,
}

impl<E> FatigueJson<E> {
    pub(super) fn of(judged: &FatigueJudged, events: E) -> Self {
        let equivalent = |detail: &Detail, range: fn(&EventDamage) -> f64| {
            Number(detail.equivalent_mpa(judged.events.iter().map(|event| (range(event), event.count))))
        };
        Self {
            damage: Number(judged.damage),
            lives: judged.lives().map(Number),
            at: Number(judged.at_mm),
            crack: match judged.crack {
                Crack::Root => "root",
                Crack::Wall | Crack::Lattice => "wall",
            },
            category: Number(judged.detail.category_mpa),
            normal_e2: equivalent(&judged.detail, |event| event.normal_mpa),
            shear_e2: equivalent(&ROOT_SHEAR, |event| event.shear_mpa),
            ceiling: Number(judged.ceiling),
            deformed: judged.deformed,
            events,
        }
    }
}

/// One event at the worst place of a tube.
#[derive(Serialize)]
pub(super) struct EventJson {
    normal: Number,
    shear: Number,
    damage: Number,
}

impl EventJson {
    pub(super) fn of(event: &EventDamage) -> Self {
        Self { normal: Number(event.normal_mpa), shear: Number(event.shear_mpa), damage: Number(event.damage) }
    }
}
