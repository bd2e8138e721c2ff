"""Kinds of slip, one file a kind."""
