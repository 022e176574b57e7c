"""Plates of laminate: stiffness, meshes, displacements, vibration, reduced models, failure."""
