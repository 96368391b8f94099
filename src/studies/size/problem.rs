//! What is to be sized: groups of tubes, the sizes to choose from, and what each choice weighs.

use std::collections::BTreeSet;

use crate::beam::mass::tube_mass_kg;
use crate::checks::Check;
use crate::model::{Fault, Model, TubeRef, entry_at};
use crate::path;
use crate::run::{Checked, check_for_verdict};
use crate::structure::{Structure, TubeName};

/// Most sizes to choose from: a set of them is the bits of a number.
pub const MOST_SIZES: usize = u128::BITS as usize;

/// A size for each group: indices into [`Problem::stock`].
pub(super) type Design = Vec<usize>;

/// Groups, sizes, masses.
pub(super) struct Problem<'m> {
    /// The model as drawn.
    pub(super) model: &'m Model,
    /// Names of the groups.
    pub(super) groups: Vec<String>,
    /// Members of each group, indices into [`Model::members`].
    pub(super) members: Vec<Vec<usize>>,
    /// Sizes, indices into [`Model::tubes`], the lightest first.
    pub(super) stock: Vec<usize>,
    /// Mass of each group (row) in each size, kg.
    pub(super) mass_kg: Vec<Vec<f64>>,
    /// Mass of the frame's other tubes, kg.
    pub(super) kept_kg: f64,
    /// The tubes whose joints are judged as drawn. They are to be so in what is found: a tube that is too wide for the
    /// one it stands on would else pass because nothing is known of it.
    pub(super) joints: BTreeSet<String>,
}

impl<'m> Problem<'m> {
    /// Reads the `sizing` of a model; `structure`: the same model taken apart.
    ///
    /// # Errors
    /// No `sizing`.
    pub(super) fn new(model: &'m Model, structure: &Structure) -> Result<Self, Fault> {
        let Some(sizing) = &model.sizing else {
            let fault = Fault::new(path![], "the file has no \"sizing\": there are no sizes to choose from");
            return Err(fault.hint(
                "such as \"sizing\": {\"groups\": {\"rails\": [\"rail.l\"]}, \"stock\": [\"main\", \"brace\"]}",
            ));
        };
        let per_metre = |size: usize| {
            let area_mm2 = model.tubes[size].properties.area_mm2;
            tube_mass_kg(area_mm2, 1000.0, model.material_of(size).density_kg_m3)
        };
        let mut stock = sizing.stock.clone();
        stock.sort_by(|one, other| per_metre(*one).total_cmp(&per_metre(*other)));
        let length_mm = |member: usize| {
            let own = structure.tubes.iter().filter(|tube| tube.name == TubeName::Tube(TubeRef::Member(member)));
            own.map(|tube| tube.length_mm).sum::<f64>()
        };
        let of_groups = sizing.groups.iter().filter(|(_, members)| !members.is_empty());
        let (groups, members): (Vec<String>, Vec<Vec<usize>>) =
            of_groups.map(|(name, members)| (name.clone(), members.clone())).unzip();
        let mass_kg = members.iter().map(|members| {
            let metres = members.iter().map(|member| length_mm(*member)).sum::<f64>() / 1000.0;
            stock.iter().map(|size| per_metre(*size) * metres).collect()
        });
        let is_kept = |member: &usize| !members.iter().any(|members| members.contains(member));
        let kept = (0..model.members.len()).filter(is_kept);
        let kept_kg = kept.map(|member| per_metre(model.members[member].tube) * length_mm(member) / 1000.0).sum();
        let joints = check_for_verdict(model).map(|checked| judged_joints(&checked)).unwrap_or_default();
        Ok(Self { model, groups, mass_kg: mass_kg.collect(), members, stock, kept_kg, joints })
    }

    /// Mass of the frame's tubes in a design, kg.
    pub(super) fn mass_of(&self, design: &[usize]) -> f64 {
        let own = design.iter().zip(&self.mass_kg).map(|(size, masses)| masses[*size]);
        self.kept_kg + own.sum::<f64>()
    }

    /// The model in the sizes of a design, at every position of its adjusters.
    pub(super) fn sized(&self, design: &[usize]) -> Model {
        let mut model = self.model.clone();
        let put = |model: &mut Model| {
            for (members, size) in self.members.iter().zip(design) {
                for member in members {
                    model.members[*member].tube = self.stock[*size];
                }
            }
        };
        put(&mut model);
        model.positions.iter_mut().for_each(|position| put(&mut position.model));
        model
    }

    /// The size of each group as drawn; `None`: its members have several, or one that is not in stock.
    pub(super) fn drawn_sizes(&self) -> Vec<Option<usize>> {
        let of_group = |members: &Vec<usize>| {
            let size = self.model.members[members[0]].tube;
            let alike = members.iter().all(|member| self.model.members[*member].tube == size);
            self.stock.iter().position(|known| *known == size).filter(|_| alike)
        };
        self.members.iter().map(of_group).collect()
    }

    /// The design that is drawn, where every group has one size of the stock.
    pub(super) fn drawn(&self) -> Option<Design> {
        self.drawn_sizes().into_iter().collect()
    }

    /// Name of a size.
    pub(super) fn size_name(&self, size: usize) -> &str {
        entry_at(&self.model.tubes, self.stock[size]).0
    }

    /// How many designs there are; a float, since they may be more than any integer holds.
    pub(super) fn n_designs(&self) -> f64 {
        (self.stock.len() as f64).powi(i32::try_from(self.groups.len()).unwrap_or(i32::MAX))
    }
}

/// The tubes of which a joint is judged in some case.
pub(super) fn judged_joints(checked: &Checked) -> BTreeSet<String> {
    let joints = checked.verdict.all().filter(|finding| finding.check == Check::Joint);
    joints.map(|finding| finding.place.clone()).collect()
}
