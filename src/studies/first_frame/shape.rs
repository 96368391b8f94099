//! Where nodes, brackets and corner points lie, by proportions of tyre radius and track.
//!
//! Reads the figures. Gives the sections `nodes`, `brackets`, `members`, `mounts`, `bodies` and
//! `corners` of a model, left half. The proportions are common practice, no source; what follows
//! from them by geometry is held by tests: caster, trail, inclination, roll centre, bump steer.

use serde_json::{Map, Value, json};

use super::figures::{Car, Driven, Figures, Front, number};

/// Caster of the steering axis, as the tangent of 6 degrees.
const CASTER_TAN: f64 = 0.105_104;
/// Height of the roll centre over the ground, in tyre radii.
const ROLL_CENTRE: f64 = 0.1;
/// Distance of the instant centre from the wheel in front view, in half tracks.
const SWING_ARM: f64 = 3.5;
/// How far a bracket on a rail stands off the rail's axis, mm.
const STAND_OFF_MM: f64 = 36.0;
/// Where the lower end of a spring stands on its arm, from the pivots to the outer end.
const SPRING_FOOT: f64 = 0.82;
/// Inclination of a strut's steering axis, as the tangent of 12 degrees.
const STRUT_INCLINATION_TAN: f64 = 0.212_557;

/// A place in the left half, mm.
type Place = [f64; 3];

/// The drawn sections of a model.
pub(super) struct Drawn {
    pub(super) nodes: Map<String, Value>,
    pub(super) brackets: Map<String, Value>,
    pub(super) members: Map<String, Value>,
    pub(super) mounts: Map<String, Value>,
    pub(super) bodies: Map<String, Value>,
    pub(super) corner: Value,
    /// How far the nose point is ahead of the front axle, mm.
    pub(super) nose_x_mm: f64,
}

/// The scale of a drawing and what the corners ask of the frame.
struct Pattern {
    /// Tyre radius, mm.
    r: f64,
    /// Half of the front track, mm.
    t: f64,
    /// Stations along the car: front pick-ups, rear pick-ups, bulkhead, mm.
    x: [f64; 3],
    /// Half width of the lower and the upper rails, mm.
    y: [f64; 2],
    /// Height of the lower rails, the upper rails and the spring towers, mm.
    z: [f64; 3],
    /// Place of the tower's top.
    tower: Place,
}

/// The front view's instant centre `(y, z)` of a corner, mm.
#[derive(Debug, Clone, Copy)]
struct Centre(f64, f64);

impl Centre {
    /// The height at `y` of the line from here through a point.
    fn line_through(self, point: Place, y: f64) -> f64 {
        self.1 + (point[2] - self.1) * (y - self.0) / (point[1] - self.0)
    }
}

fn place([x, y, z]: Place) -> Value {
    json!([number(x.round()), number(y.round()), number(z.round())])
}

fn between(a: Place, b: Place, part: f64) -> Place {
    std::array::from_fn(|at| a[at] + (b[at] - a[at]) * part)
}

/// Outer ends of a steered corner.
struct Upright {
    lower: Place,
    upper: Place,
    centre: Centre,
}

/// Draws everything.
pub(super) fn draw(figures: &Figures, car: &Car) -> Drawn {
    let (r, t) = (figures.tyre_radius_mm, figures.track_front_mm / 2.0);
    let upright = upright(figures.front, r, t);
    let pattern = pattern(figures.front, r, t, &upright);
    let mut drawn = Drawn {
        nodes: Map::new(),
        brackets: Map::new(),
        members: Map::new(),
        mounts: Map::new(),
        bodies: Map::new(),
        corner: Value::Null,
        nose_x_mm: (pattern.x[0] + 0.9 * r).round(),
    };
    frame(&pattern, &mut drawn);
    let common = json!({
        "wheel_centre": [0, number(t), number(r)], "contact_patch": [0, number(t), 0],
        "brakes": "outboard", "unsprung": number(car.unsprung_kg),
    });
    let mut corner = Map::new();
    corner.insert("kind".to_owned(), json!(figures.front.word().replace('-', " ")));
    corner.extend(common.as_object().cloned().unwrap_or_default());
    if car.driven.at_the_front() {
        corner.insert("drive".to_owned(), json!("inboard"));
    }
    match figures.front {
        Front::TrailingArm => trailing_arm(&pattern, &mut drawn, &mut corner),
        _ => steered(figures, car, &pattern, &upright, &mut drawn, &mut corner),
    }
    if car.driven.at_the_front() {
        final_drive(&pattern, car, &mut drawn);
    }
    drawn.corner = Value::Object(corner);
    drawn
}

/// The ends of the steering axis, and the instant centre that the arms aim at.
fn upright(front: Front, r: f64, t: f64) -> Upright {
    let lower = [0.04 * r, t - 0.21 * r, 0.57 * r];
    let roll_centre = ROLL_CENTRE * r;
    if front == Front::Strut {
        let rise = 1.63 * r;
        let upper = [lower[0] - CASTER_TAN * rise, lower[1] - STRUT_INCLINATION_TAN * rise, 0.57 * r + rise];
        // The line square to the strut at its top meets the line from the patch through the roll centre.
        let slope = STRUT_INCLINATION_TAN;
        let y = (roll_centre - upper[2] + upper[1] * slope) / (slope + roll_centre / t);
        return Upright { lower, upper, centre: Centre(y, roll_centre * (t - y) / t) };
    }
    let rise = 0.9 * r;
    let upper = [lower[0] - CASTER_TAN * rise, t - 0.31 * r, 0.57 * r + rise];
    Upright { lower, upper, centre: Centre(t - SWING_ARM * t, roll_centre * SWING_ARM) }
}

fn pattern(front: Front, r: f64, t: f64, upright: &Upright) -> Pattern {
    let y = match front {
        Front::DoubleWishbone | Front::Links => [0.36 * t, 0.38 * t],
        Front::Strut => [0.36 * t, 0.46 * t],
        Front::TrailingArm => [0.30 * t, 0.34 * t],
    };
    let lower = upright.centre.line_through(upright.lower, y[0] + STAND_OFF_MM);
    let upper = upright.centre.line_through(upright.upper, y[1] + STAND_OFF_MM);
    match front {
        Front::DoubleWishbone | Front::Links => Pattern {
            r,
            t,
            x: [0.6 * r, -0.6 * r, -1.6 * r],
            y,
            z: [lower, upper, 2.1 * r],
            tower: [0.0, 0.52 * t, 2.1 * r],
        },
        Front::Strut => {
            Pattern { r, t, x: [0.6 * r, -0.6 * r, -1.6 * r], y, z: [lower, 1.34 * r, 2.2 * r], tower: upright.upper }
        }
        // Low pivots far ahead: the slope from the patch up to them is what pulls the nose down under braking.
        Front::TrailingArm => Pattern {
            r,
            t,
            x: [1.4 * r, -0.6 * r, -1.6 * r],
            y,
            z: [0.5 * r, 1.45 * r, 2.05 * r],
            tower: [0.15 * r, 0.66 * t, 2.05 * r],
        },
    }
}

/// The tubes that every layout has: rails, posts, diagonals, towers, nose.
fn frame(pattern: &Pattern, drawn: &mut Drawn) {
    let ([front, rear, bulkhead], [low_y, high_y], [low, high, top]) = (pattern.x, pattern.y, pattern.z);
    let nose = [drawn.nose_x_mm, 0.0, (low + high) / 2.0];
    let mut node = |name: &str, at: Place, note: Option<&str>| {
        let value = match note {
            Some(note) => json!({"at": place(at), "note": note}),
            None => place(at),
        };
        drawn.nodes.insert(name.to_owned(), value);
    };
    node("A.l", [front, low_y, low], None);
    node("B.l", [rear, low_y, low], None);
    node("C.l", [bulkhead, low_y, low], Some("bolts to the body: foot of the bulkhead"));
    node("D.l", [front, high_y, high], None);
    node("E.l", [rear, high_y, high], None);
    node("F.l", [bulkhead, high_y, high], Some("bolts to the body: middle of the bulkhead"));
    node("G.l", [bulkhead, high_y, top], Some("bolts to the body: under the scuttle"));
    node("P", [bulkhead, 0.0, top], Some("bolts to the body: middle of the scuttle"));
    node("S.l", pattern.tower, Some("top of the spring"));
    node("J", [front, 0.0, low], None);
    node("K", [rear, 0.0, low], None);
    node("M", [rear, 0.0, high], None);
    node("N", nose, Some("tow eye, and where a jack lifts the nose"));

    let mut through = |name: &str, nodes: &[&str]| {
        drawn.members.insert(name.to_owned(), json!({"through": nodes, "tube": "main"}));
    };
    through("lower rail.l", &["A.l", "B.l", "C.l"]);
    through("upper rail.l", &["D.l", "E.l", "F.l"]);
    let mut tube = |name: &str, ends: [&str; 2], size: &str| {
        drawn.members.insert(name.to_owned(), json!({"ends": ends, "tube": size}));
    };
    tube("front cross.l", ["A.l", "J"], "main");
    tube("rear cross.l", ["B.l", "K"], "main");
    tube("upper front cross", ["D.l", "D.r"], "brace");
    tube("upper rear cross.l", ["E.l", "M"], "brace");
    tube("front post.l", ["A.l", "D.l"], "brace");
    tube("rear post.l", ["B.l", "E.l"], "brace");
    tube("front diagonal.l", ["B.l", "D.l"], "brace");
    tube("rear diagonal.l", ["C.l", "E.l"], "brace");
    tube("floor diagonal.l", ["J", "B.l"], "brace");
    tube("rear floor.l", ["K", "C.l"], "brace");
    tube("upper diagonal.l", ["D.l", "M"], "brace");
    tube("rear upper diagonal.l", ["M", "F.l"], "brace");
    tube("tower front.l", ["D.l", "S.l"], "brace");
    tube("tower rear.l", ["E.l", "S.l"], "brace");
    tube("tower stay.l", ["S.l", "G.l"], "brace");
    tube("scuttle brace.l", ["S.l", "P"], "brace");
    tube("tower cross", ["S.l", "S.r"], "brace");
    tube("nose lower.l", ["A.l", "N"], "brace");
    tube("nose upper.l", ["D.l", "N"], "brace");
    for mount in ["C.l", "F.l", "G.l", "P"] {
        drawn.mounts.insert(mount.to_owned(), json!("one bolt"));
    }
}

/// Wishbones, strut or links with a tie rod and a rack.
fn steered(
    figures: &Figures,
    car: &Car,
    pattern: &Pattern,
    upright: &Upright,
    drawn: &mut Drawn,
    corner: &mut Map<String, Value>,
) {
    let Pattern { r, x: [front, rear, _], y: [low_y, high_y], z: [low, high, _], .. } = *pattern;
    let lower = [low_y + STAND_OFF_MM, low];
    let upper = [high_y + STAND_OFF_MM, high];
    let mut bracket = |name: &str, at: Place, on: &str| {
        drawn.brackets.insert(name.to_owned(), json!({"at": place(at), "on": on}));
    };
    bracket("LF.l", [front, lower[0], lower[1]], "A.l");
    bracket("LR.l", [rear, lower[0], lower[1]], "B.l");
    if figures.front != Front::Strut {
        bracket("UF.l", [front, upper[0], upper[1]], "D.l");
        bracket("UR.l", [rear, upper[0], upper[1]], "E.l");
    }
    let middle = [0.0, lower[0], lower[1]];
    let mut foot = between(middle, upright.lower, SPRING_FOOT);
    foot[2] += 0.09 * r;
    let arm = |front: &str, rear: &str, outer: Place| json!({"front": front, "rear": rear, "outer": place(outer), "tube": "arm"});
    match figures.front {
        Front::Strut => {
            corner.insert("lower".to_owned(), arm("LF.l", "LR.l", upright.lower));
            let bottom = between(upright.lower, upright.upper, 0.3);
            corner.insert("strut".to_owned(), json!({"top": "S.l", "bottom": place(bottom), "tube": "strut"}));
        }
        Front::Links => {
            let spread = |at: Place, by: f64| place([at[0] + by * r, at[1], at[2]]);
            let link = |inner: &str, outer: Value| json!({"inner": inner, "outer": outer, "tube": "arm"});
            let links = json!({
                "lower front": link("LF.l", spread(upright.lower, 0.07)),
                "lower rear": link("LR.l", spread(upright.lower, -0.07)),
                "upper front": link("UF.l", spread(upright.upper, 0.07)),
                "upper rear": link("UR.l", spread(upright.upper, -0.07)),
            });
            corner.insert("links".to_owned(), links);
            let bottom = [0.0, pattern.t - 0.38 * r, 0.8 * r];
            corner.insert("spring".to_owned(), json!({"top": "S.l", "bottom": place(bottom), "on": "upright"}));
        }
        Front::DoubleWishbone | Front::TrailingArm => {
            corner.insert("upper".to_owned(), arm("UF.l", "UR.l", upright.upper));
            corner.insert("lower".to_owned(), arm("LF.l", "LR.l", upright.lower));
            let spring = json!({"top": "S.l", "bottom": place(foot), "on": ["lower.front", "lower.rear"]});
            corner.insert("spring".to_owned(), spring);
        }
    }
    let (inner, outer) = tie_rod(figures, pattern, upright, lower, upper);
    let rod = json!({"inner": "RE.l", "outer": place(outer), "tube": "link"});
    match corner.get_mut("links") {
        Some(Value::Object(links)) => links.insert("toe".to_owned(), rod),
        _ => corner.insert("tie_rod".to_owned(), rod),
    };
    let note = "inner end of the tie rod, rides on the rack";
    drawn.nodes.insert("RE.l".to_owned(), json!({"at": place(inner), "note": note}));
    let clamp = [inner[0], 0.55 * inner[1], inner[2]];
    drawn.brackets.insert("RC.l".to_owned(), json!({"at": place(clamp), "on": "rear cross.l"}));
    drawn.bodies.insert(
        "steering rack".to_owned(),
        json!({
            "mass": number((2.0 + car.mass_kg / 300.0).round()), "cg": place([inner[0], 0.0, inner[2]]),
            "mounts": {"RC.l": "clamp", "RE.l": "rides"}, "note": "mass assumed: weigh it",
        }),
    );
}

/// Both ends of a tie rod that aims at the instant centre, so that bump hardly steers; its outer
/// end lies on the line from the steering axis to the middle of the rear axle.
fn tie_rod(
    figures: &Figures,
    pattern: &Pattern,
    upright: &Upright,
    lower: [f64; 2],
    upper: [f64; 2],
) -> (Place, Place) {
    let r = pattern.r;
    let along = |z: f64| (z - upright.lower[2]) / (upright.upper[2] - upright.lower[2]);
    let x = -0.42 * r;
    let outer_y = |z: f64| between(upright.lower, upright.upper, along(z))[1] * (1.0 + x / figures.wheelbase_mm);
    let inner_y = |z: f64| match figures.front {
        Front::Strut => lower[0],
        _ => lower[0] + (upper[0] - lower[0]) * (z - lower[1]) / (upper[1] - lower[1]),
    };
    match figures.rack_height_mm {
        Some(z) => {
            let inner = [x, inner_y(z), z];
            let y = outer_y(z);
            (inner, [x, y, upright.centre.line_through(inner, y)])
        }
        None => {
            let z = 0.74 * r;
            let outer = [x, outer_y(z), z];
            let y = inner_y(z);
            ([x, y, upright.centre.line_through(outer, y)], outer)
        }
    }
}

/// An arm from a cross line ahead of the wheel, with outriggers that carry its outer pivot.
fn trailing_arm(pattern: &Pattern, drawn: &mut Drawn, corner: &mut Map<String, Value>) {
    let Pattern { r, t, x: [front, ..], y: [low_y, _], z: [low, ..], .. } = *pattern;
    let inner = [front, low_y + STAND_OFF_MM, low];
    let outer = [front, 0.8 * t, low];
    let hub = [0.0, t - 0.24 * r, r];
    drawn.nodes.insert("O.l".to_owned(), json!({"at": place(outer), "note": "outer pivot of the arm"}));
    drawn.brackets.insert("PI.l".to_owned(), json!({"at": place(inner), "on": "A.l"}));
    let mut tube = |name: &str, ends: [&str; 2], size: &str| {
        drawn.members.insert(name.to_owned(), json!({"ends": ends, "tube": size}));
    };
    tube("outrigger.l", ["A.l", "O.l"], "main");
    tube("outrigger upper.l", ["D.l", "O.l"], "main");
    tube("outrigger stay.l", ["N", "O.l"], "main");
    corner.insert("arm".to_owned(), json!({"pivots": ["PI.l", "O.l"], "hub": place(hub), "tube": "arm"}));
    let mut foot = between(between(inner, outer, 0.5), hub, SPRING_FOOT);
    foot[2] += 0.12 * r;
    corner.insert("spring".to_owned(), json!({"top": "S.l", "bottom": place(foot), "on": ["arm.1", "arm.2"]}));
}

/// The differential of a driven front axle on rubber mounts.
fn final_drive(pattern: &Pattern, car: &Car, drawn: &mut Drawn) {
    let Pattern { r, x: [front, ..], y: [low_y, _], z: [low, ..], .. } = *pattern;
    let z = low + 0.15 * r;
    drawn
        .brackets
        .insert("DF.l".to_owned(), json!({"at": place([front - 0.1 * r, 0.6 * low_y, z]), "on": "front cross.l"}));
    drawn.brackets.insert("DR".to_owned(), json!({"at": place([pattern.x[1] + 0.12 * r, 0.0, z]), "on": "K"}));
    let rear = match car.driven {
        Driven::Both => {
            "; check warns that the rear wheels' torque is not put into it: that goes into the rear drive, which is not drawn"
        }
        _ => "",
    };
    let rubber = json!({"x": 800, "y": 800, "z": 800});
    drawn.bodies.insert(
        "final drive".to_owned(),
        json!({
            "mass": number((15.0 + car.mass_kg / 60.0).round()), "cg": place([0.0, 0.0, r]),
            "mounts": {"DF.l": rubber, "DR": rubber}, "takes_drive_torque": true,
            "note": format!("mass, place and rubber rates assumed (common practice, no source): weigh and measure it{rear}"),
        }),
    );
}
