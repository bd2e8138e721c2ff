"""Kinds of economy, one file a sort; each module lists its own in ``MEMBERS``."""
