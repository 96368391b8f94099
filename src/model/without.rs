//! A model without some of its tubes.

use super::{BracketFoot, Model, TubeRef};

impl Model {
    /// The model without these members (indices into [`Model::members`]); `None` where a bracket stands on one of them or
    /// a case loads it.
    pub fn without_members(&self, gone: &[usize]) -> Option<Model> {
        let place = |tube: TubeRef| match tube {
            TubeRef::Member(at) if gone.contains(&at) => None,
            TubeRef::Member(at) => Some(TubeRef::Member(at - gone.iter().filter(|other| **other < at).count())),
            corner @ TubeRef::Corner { .. } => Some(corner),
        };
        let mut model = self.clone();
        for bracket in model.brackets.values_mut() {
            if let BracketFoot::Tubes(tubes) = &mut bracket.on {
                *tubes = tubes.iter().map(|tube| place(*tube)).collect::<Option<_>>()?;
            }
        }
        for case in model.cases.values_mut() {
            for (tube, _) in &mut case.line_loads {
                *tube = place(*tube)?;
            }
        }
        for position in &mut model.positions {
            position.model = position.model.without_members(gone)?;
        }
        if let Some(sizing) = &mut model.sizing {
            let place = |at: &usize| (!gone.contains(at)).then(|| at - gone.iter().filter(|other| *other < at).count());
            for members in sizing.groups.values_mut() {
                *members = members.iter().filter_map(place).collect();
            }
        }
        let mut at = 0;
        model.members.retain(|_, _| {
            at += 1;
            !gone.contains(&(at - 1))
        });
        Some(model)
    }
}
