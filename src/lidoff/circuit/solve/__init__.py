"""The equations of a circuit and how they are solved."""
