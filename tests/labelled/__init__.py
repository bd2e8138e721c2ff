"""Circuits whose blocks were labelled by hand, to hold recognition against."""
