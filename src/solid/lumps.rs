//! The lumps a body falls into, and the hollows inside them.

use super::joining::locate;
use super::volume::signed_volume;
use super::{Body, body::Face};

/// One connected piece of material.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lump {
    /// Indices of the faces of its outer shell.
    pub outer: Vec<usize>,
    /// Indices of the faces of each closed hollow inside it.
    pub hollows: Vec<Vec<usize>>,
}

impl Body {
    /// The connected pieces of material, in the order of their first faces.
    pub fn lumps(&self) -> Vec<Lump> {
        let shells = self.shells();
        let faces = |shell: &[usize]| shell.iter().map(|&i| self.faces[i].clone()).collect::<Vec<Face>>();
        let (outer, hollow): (Vec<_>, Vec<_>) =
            shells.into_iter().partition(|shell| signed_volume(&faces(shell)) > 0.0);
        let mut lumps: Vec<Lump> =
            outer.into_iter().map(|outer| Lump { outer, hollows: Vec::new() }).collect();
        for shell in hollow {
            let first = &self.faces[shell[0]];
            let p = first.surface.point(first.region.outer.start);
            let volume = |lump: &Lump| signed_volume(&faces(&lump.outer));
            let holders = lumps.iter_mut().filter(|lump| locate(&faces(&lump.outer), p) == Some(true));
            if let Some(lump) = holders.min_by(|a, b| volume(a).total_cmp(&volume(b))) {
                lump.hollows.push(shell);
            }
        }
        lumps
    }

    /// The faces of each closed shell.
    fn shells(&self) -> Vec<Vec<usize>> {
        let mut shell_of: Vec<usize> = (0..self.faces.len()).collect();
        fn root(parent: &mut [usize], mut i: usize) -> usize {
            while parent[i] != i {
                parent[i] = parent[parent[i]];
                i = parent[i];
            }
            i
        }
        for edge in &self.edges {
            let [a, b] = edge.faces.map(|f| root(&mut shell_of, f as usize));
            shell_of[a.max(b)] = a.min(b);
        }
        let mut shells: Vec<Vec<usize>> = vec![Vec::new(); self.faces.len()];
        for i in 0..self.faces.len() {
            shells[root(&mut shell_of, i)].push(i);
        }
        shells.retain(|s| !s.is_empty());
        shells
    }
}
