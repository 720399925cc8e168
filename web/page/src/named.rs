//! A few values by name, in the order in which they came. Forms have a dozen fields: a list is smaller than a tree.

/// Values by name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Named<T>(Vec<(String, T)>);

impl<T> Default for Named<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T> Named<T> {
    /// One value.
    pub(crate) fn one(name: &str, value: T) -> Self {
        Self(vec![(name.to_owned(), value)])
    }

    /// The value of a name.
    pub(crate) fn get(&self, name: &str) -> Option<&T> {
        self.0
            .iter()
            .find(|(known, _)| known == name)
            .map(|(_, value)| value)
    }

    /// The value of a name, to change; a new one where there is none.
    pub(crate) fn entry(&mut self, name: &str) -> &mut T
    where
        T: Default,
    {
        let idx = self
            .0
            .iter()
            .position(|(known, _)| known == name)
            .unwrap_or_else(|| {
                self.0.push((name.to_owned(), T::default()));
                self.0.len() - 1
            });
        #[expect(
            clippy::indexing_slicing,
            reason = "the place was found or made just now"
        )]
        &mut self.0[idx].1
    }

    /// Sets the value of a name.
    pub(crate) fn set(&mut self, name: &str, value: T)
    where
        T: Default,
    {
        *self.entry(name) = value;
    }

    /// Whether there is none.
    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// All, in the order in which they came.
    pub(crate) fn iter(&self) -> impl Iterator<Item = &(String, T)> {
        self.0.iter()
    }
}
