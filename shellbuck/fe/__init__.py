"""Shell elements on meshes: discrete ribs, linear prestress, certified buckling modes."""
