"""Buckling margins of stiffened barrels."""
