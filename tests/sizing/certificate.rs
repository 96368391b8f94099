//! A checker of certificates that shares no code with the search: a plane frame of its own, and the rules of a proof.

use serde_json::{Value, json};

use super::bars::Truss;
use super::plane_frame::PlaneFrame;
use super::{certificate_of, problem, reference, size_of, sized};

/// Sizes that each group may have, by name.
pub(super) type Sets = Vec<Vec<String>>;

/// A structure that somebody else has written.
pub(super) trait Own {
    /// What is known on the way down the tree.
    type State: Clone;
    fn groups(&self) -> &[String];
    fn section(&self, name: &str) -> usize;
    fn mass(&self, group: usize, section: usize) -> f64;
    /// The largest of all that is limited, over its limit.
    fn worst(&self, design: &[usize]) -> f64;
    fn begin(&self) -> Self::State;
    /// What a box adds to what is known.
    fn narrow(&self, node: &Value, sizes: &Sets, best: f64, state: &mut Self::State) -> Result<(), String>;
    /// Whether what is known leaves nothing.
    fn is_empty(&self, state: &Self::State) -> bool;
    /// The least mass of a box by what closes it; infinite: nothing is within its limits.
    fn least(&self, certificate: &Value, node: &Value, sizes: &Sets, state: &Self::State) -> Result<f64, String>;
}

pub(super) fn names(value: &Value) -> Vec<String> {
    value.as_array().unwrap().iter().map(|name| name.as_str().unwrap().to_owned()).collect()
}

/// Whether a certificate proves that its best design is the lightest within its limits; why not, otherwise.
pub(super) fn proves(certificate: &Value, frame: &impl Own) -> Result<(), String> {
    let groups: Vec<String> = certificate["groups"]
        .as_array()
        .unwrap()
        .iter()
        .map(|group| group["name"].as_str().unwrap().to_owned())
        .collect();
    if groups != frame.groups() {
        return Err("other groups".to_owned());
    }
    let best = names(&certificate["best"]["sizes"]);
    let design: Vec<usize> = best.iter().map(|name| frame.section(name)).collect();
    let mass: f64 = design.iter().enumerate().map(|(group, size)| frame.mass(group, *size)).sum();
    let told = certificate["best"]["mass"].as_f64().unwrap();
    if (mass / told - 1.0).abs() > 1e-8 {
        return Err(format!("the best weighs {mass}, not {told}"));
    }
    if frame.worst(&design) > 1.0 + 1e-6 {
        return Err("the best is not within its limits".to_owned());
    }
    let stock = names(&certificate["stock"]);
    let mut visited = vec![0; certificate["nodes"].as_array().unwrap().len()];
    let begin = Known { sizes: vec![stock; groups.len()], state: frame.begin(), best: told };
    box_is_closed(certificate, frame, 0, begin, &mut visited)?;
    if visited.iter().all(|times| *times == 1) { Ok(()) } else { Err("a box that is no part of the tree".to_owned()) }
}

/// What is known of a box before it is looked at.
#[derive(Clone)]
struct Known<S> {
    sizes: Sets,
    state: S,
    best: f64,
}

/// A proof shows that no design is lighter by more than this part.
const LIGHTER: f64 = 1e-6;

/// Whether no design of a box is lighter than the best and within its limits.
fn box_is_closed<O: Own>(
    certificate: &Value,
    frame: &O,
    node: usize,
    mut known: Known<O::State>,
    visited: &mut [usize],
) -> Result<(), String> {
    visited[node] += 1;
    if visited[node] > 1 {
        return Err(format!("box {node} stands twice"));
    }
    let value = &certificate["nodes"][node];
    frame.narrow(value, &known.sizes, known.best, &mut known.state)?;
    let sizes = &known.sizes;
    if let Some(group) = value["split"].as_str() {
        let group = frame.groups().iter().position(|name| name == group).unwrap();
        let parts: Vec<(Vec<String>, usize)> = value["into"]
            .as_array()
            .unwrap()
            .iter()
            .map(|part| (names(&part["sizes"]), part["node"].as_u64().unwrap() as usize))
            .collect();
        let mut all: Vec<&String> = parts.iter().flat_map(|(sizes, _)| sizes).collect();
        let mut whole: Vec<&String> = sizes[group].iter().collect();
        all.sort();
        whole.sort();
        if all != whole {
            return Err(format!("the parts of box {node} are not the whole"));
        }
        return parts.into_iter().try_for_each(|(part, child)| {
            let mut below = known.clone();
            below.sizes[group] = part;
            box_is_closed(certificate, frame, child, below, visited)
        });
    }
    let single: Option<Vec<usize>> = sizes.iter().map(|set| (set.len() == 1).then(|| frame.section(&set[0]))).collect();
    let masses = |group: usize| sizes[group].iter().map(move |name| frame.mass(group, frame.section(name)));
    let lightest: f64 = (0..sizes.len()).map(|group| masses(group).fold(f64::INFINITY, f64::min)).sum();
    let enough = known.best * (1.0 - LIGHTER);
    let closed = match value["closed"].as_str() {
        Some("no design is lighter than the best") => lightest >= enough,
        Some("this design passes") => single.is_some() && lightest >= enough,
        Some("this design fails") => single.is_some_and(|design| frame.worst(&design) > 1.0 + 0.5e-6),
        Some("cuts" | "a linear program") => frame.least(certificate, value, sizes, &known.state)? >= enough,
        Some("no stretch is left") => frame.is_empty(&known.state),
        _ => false,
    };
    if closed { Ok(()) } else { Err(format!("box {node} is not closed: {value}")) }
}

impl Own for PlaneFrame {
    type State = ();

    fn groups(&self) -> &[String] {
        &self.groups
    }
    fn section(&self, name: &str) -> usize {
        PlaneFrame::section(self, name)
    }
    fn mass(&self, group: usize, section: usize) -> f64 {
        PlaneFrame::mass(self, group, section)
    }
    fn worst(&self, design: &[usize]) -> f64 {
        PlaneFrame::worst(self, design)
    }
    fn begin(&self) {}
    fn narrow(&self, node: &Value, _: &Sets, _: f64, (): &mut ()) -> Result<(), String> {
        if node["narrowed"].is_null() { Ok(()) } else { Err("a frame has no ranges".to_owned()) }
    }
    fn is_empty(&self, (): &()) -> bool {
        false
    }
    fn least(&self, certificate: &Value, node: &Value, sizes: &Sets, (): &()) -> Result<f64, String> {
        least(certificate, self, node, sizes)
    }
}

/// The least mass of a box by its cuts: infinite where one says that nothing is within its limits.
fn least(certificate: &Value, frame: &PlaneFrame, value: &Value, sizes: &Sets) -> Result<f64, String> {
    let mut sum = 0.0;
    let mut weights: Vec<Vec<f64>> = (0..sizes.len())
        .map(|group| sizes[group].iter().map(|name| frame.mass(group, frame.section(name))).collect())
        .collect();
    for used in value["by"].as_array().unwrap() {
        let cut = &certificate["cuts"][used["cut"].as_u64().unwrap() as usize];
        let (t2, times) = (used["t2"].as_f64().unwrap(), used["times"].as_f64().unwrap());
        if t2 <= 0.0 || times < 0.0 {
            return Err("a multiplier that is none".to_owned());
        }
        let design: Vec<usize> = names(&cut["design"]).iter().map(|name| frame.section(name)).collect();
        let row = frame.row(cut, &design);
        let factor = frame.stiffness(&design).cholesky().unwrap();
        let (p, q) = (factor.solve(frame.load(row.case)), factor.solve(&row.row));
        let read = row.row.dot(&p);
        if (read / cut["value"].as_f64().unwrap() - 1.0).abs() > 1e-6 {
            return Err(format!("a cut reads {read}, not {}", cut["value"]));
        }
        // A stress is that of one size of its tube alone.
        if cut["check"] == "yield" {
            let only = &cut["only_with"];
            let group = frame.groups.iter().position(|name| only["group"] == **name).unwrap();
            if sizes[group] != [only["size"].as_str().unwrap()] {
                return Err("a cut of another size".to_owned());
            }
        }
        let short = read - row.allowed * (1.0 + 0.99e-6);
        let mut most = 0.0;
        sum += times * short;
        for (group, names) in sizes.iter().enumerate() {
            let of_size: Vec<f64> = names
                .iter()
                .map(|name| {
                    let [b, pp, qq] = frame.differences(&p, &q, group, design[group], frame.section(name));
                    0.5 * b + 0.25 * (t2 * pp + qq / t2)
                })
                .collect();
            most += of_size.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            weights[group].iter_mut().zip(&of_size).for_each(|(weight, own)| *weight -= times * own);
        }
        if most < short {
            return Ok(f64::INFINITY);
        }
    }
    Ok(sum + weights.iter().map(|row| row.iter().copied().fold(f64::INFINITY, f64::min)).sum::<f64>())
}

/// The portal's certificate.
fn portal() -> (Value, PlaneFrame) {
    let model = problem("portal-with-brace");
    (certificate_of(&sized(&model), &model), PlaneFrame::read(&reference("frame-portal-with-brace")))
}

#[test]
fn a_checker_of_its_own_accepts_the_proof_of_the_portal() {
    let (certificate, frame) = portal();
    assert_eq!(proves(&certificate, &frame), Ok(()));
    let closed_by =
        |how: &str| certificate["nodes"].as_array().unwrap().iter().filter(|node| node["closed"] == how).count();
    assert!(closed_by("cuts") > 0, "no box is closed by a cut: {certificate}");
}

#[test]
fn an_altered_proof_is_refused() {
    let (sound, frame) = portal();
    let nodes = sound["nodes"].as_array().unwrap();
    let first = |how: &str| nodes.iter().position(|node| node["closed"] == how).unwrap();
    let refused = |what: &str, alter: &dyn Fn(&mut Value)| {
        let mut altered = sound.clone();
        alter(&mut altered);
        assert!(proves(&altered, &frame).is_err(), "{what} is not seen");
    };
    let with_mass = |cut: &Value| cut["times"].as_f64().unwrap() != 1.0;
    let by_mass = nodes.iter().position(|node| node["by"].as_array().is_some_and(|by| by.iter().any(with_mass)));
    if let Some(at) = by_mass {
        refused("a multiplier", &|proof| proof["nodes"][at]["by"][0]["times"] = json!(0.0));
    }
    let cut = nodes[first("cuts")]["by"][0]["cut"].as_u64().unwrap() as usize;
    refused("a figure of a cut", &|proof| {
        let value = proof["cuts"][cut]["value"].as_f64().unwrap();
        proof["cuts"][cut]["value"] = json!(value * 1.001);
    });
    refused("a scale of a cut", &|proof| {
        for node in proof["nodes"].as_array_mut().unwrap() {
            if let Some(by) = node["by"].as_array_mut() {
                by.iter_mut().for_each(|used| used["t2"] = json!(used["t2"].as_f64().unwrap() * 1e6));
            }
        }
    });
    let split = nodes.iter().position(|node| node["split"].is_string()).unwrap();
    refused("a branch that was dropped", &|proof| {
        proof["nodes"][split]["into"].as_array_mut().unwrap().pop();
    });
    refused("sizes that no branch has", &|proof| {
        let sizes = proof["nodes"][split]["into"][0]["sizes"].as_array_mut().unwrap();
        sizes.pop();
    });
    refused("a lighter best", &|proof| {
        let mass = proof["best"]["mass"].as_f64().unwrap();
        proof["best"]["mass"] = json!(mass * 0.99);
    });
    refused("another best", &|proof| proof["best"]["sizes"][1] = json!("38x2"));
    refused("an open box", &|proof| proof["nodes"][first("cuts")] = json!({ "open": true }));
    refused("a box that is said to be heavier", &|proof| {
        proof["nodes"][first("cuts")] = json!({ "closed": "no design is lighter than the best" });
    });
    refused("a heavier best", &|proof| {
        // 30x1.5, 40x2.5, 25x1.5: the next best of the reference.
        proof["best"]["sizes"][2] = json!("25x1.5");
        proof["best"]["mass"] = json!(2.424_572_279);
    });
}

#[test]
fn a_checker_of_its_own_accepts_the_proof_of_a_truss_and_refuses_an_altered_one() {
    // The whole list takes long in debug (reports/sizing.md keeps that).
    let mut text: Value = serde_json::from_str(&crate::support::read("models/sizing/truss-15-bar.json")).unwrap();
    text["sizing"]["stock"] = json!(["0.141", "0.27", "0.44", "0.954", "1.081"]);
    let model = crate::support::load(&text.to_string()).base;
    let sound = certificate_of(&sized(&model), &model);
    let truss = Truss::read(&reference("truss-15-bar-layout-a-discrete"));
    assert_eq!(sound["proven"], true);
    assert_eq!(proves(&sound, &truss), Ok(()));
    let nodes = sound["nodes"].as_array().unwrap();
    let program = nodes.iter().position(|node| node["closed"] == "a linear program").unwrap();
    let refused = |what: &str, alter: &dyn Fn(&mut Value)| {
        let mut altered = sound.clone();
        alter(&mut altered);
        assert!(proves(&altered, &truss).is_err(), "{what} is not seen");
    };
    refused("a virtual force", &|proof| {
        let w = &mut proof["nodes"][program]["cases"][0]["w"][0];
        *w = json!(w.as_f64().unwrap() + 100.0);
    });
    refused("virtual movements", &|proof| proof["nodes"][program]["cases"][0]["v"] = json!({}));
    refused("a lighter best", &|proof| {
        let mass = proof["best"]["mass"].as_f64().unwrap();
        proof["best"]["mass"] = json!(mass * 0.99);
    });
    refused("a box that is said to be empty", &|proof| {
        proof["nodes"][program] = json!({ "closed": "no stretch is left" });
    });
    if let Some(split) = nodes.iter().position(|node| node["split"].is_string()) {
        refused("a branch that was dropped", &|proof| {
            proof["nodes"][split]["into"].as_array_mut().unwrap().pop();
        });
    }
    if let Some(narrowed) = nodes.iter().position(|node| node["narrowed"].is_array()) {
        refused("a range that is narrower than shown", &|proof| {
            let to = &mut proof["nodes"][narrowed]["narrowed"][0];
            let sign = if to["end"] == 0 { 1.0 } else { -1.0 };
            to["to"] = json!(to["to"].as_f64().unwrap() + sign * 10.0);
        });
    }
}

#[test]
fn a_proof_by_what_bars_carry_as_columns_is_accepted_and_not_with_lighter_columns() {
    // Each bar of this truss has one force whatever its size: the least area of a group is that with A = L √(N / 4 E).
    // Loads of 0.98, since nothing comes to rest at all of its buckling load; strength is left out for the same reason.
    let mut text: Value = serde_json::from_str(&crate::support::read("models/sizing/truss-18-bar.json")).unwrap();
    text["sizing"]["stock"] = json!(["2", "9.75", "12.25", "12.5", "17", "21.25", "21.5", "21.75"]);
    text["limits"] = json!({ "buckling": 1 });
    text["cases"]["case 1"]["limits"] = json!({ "column": null, "yield": null });
    text["cases"]["case 1"]["factor"] = json!(0.98);
    let mut file = reference("truss-18-bar-buckling-discrete");
    file["limits"]["stress_tension"] = json!(1e6);
    // A case that stretches nothing comes first: it is not in the way of the other.
    text["cases"] = json!({ "case 0": { "forces": { "node 1": [0, 0, 0] } }, "case 1": text["cases"]["case 1"] });
    file["cases"] = json!({ "0": {}, "1": file["cases"]["1"] });
    for force in file["cases"]["1"].as_object_mut().unwrap().values_mut() {
        force[1] = json!(-20.0 * 0.98);
    }
    let truss = Truss::read(&file);
    let model = crate::support::load(&text.to_string()).base;
    let told = sized(&model);
    // 21.43 and 12.37 by hand; the other groups are pulled.
    assert_eq!(
        truss.groups().iter().map(|group| size_of(&told, group)).collect::<Vec<_>>(),
        ["2", "21.5", "12.5", "2"]
    );
    let sound = certificate_of(&told, &model);
    assert_eq!(sound["proven"], true);
    assert_eq!(proves(&sound, &truss), Ok(()));
    assert!(sound["nodes"].as_array().unwrap().iter().any(|node| node["narrowed"].is_array()));
    // The same proof of a truss whose bars carry a tenth more: a lighter design would pass.
    file["limits"]["euler_factor"] = json!(4.4);
    assert!(proves(&sound, &Truss::read(&file)).is_err());
}
