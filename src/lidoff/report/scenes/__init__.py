"""Scenes of the stills, one a file; each lists its own in ``MEMBERS``."""
