//! Which points are rigid together.

/// Sets of points that grow together.
#[derive(Debug, Default)]
pub struct Union {
    parent: Vec<usize>,
}

impl Union {
    /// A new point on its own.
    pub fn add(&mut self) -> usize {
        self.parent.push(self.parent.len());
        self.parent.len() - 1
    }

    /// The first point of the set that a point is in.
    pub fn first(&self, mut point: usize) -> usize {
        while self.parent[point] != point {
            point = self.parent[point];
        }
        point
    }

    /// Makes two sets one.
    pub fn unite(&mut self, one: usize, other: usize) {
        let (one, other) = (self.first(one), self.first(other));
        self.parent[one.max(other)] = one.min(other);
    }

    /// How many points there are.
    pub fn count(&self) -> usize {
        self.parent.len()
    }
}
