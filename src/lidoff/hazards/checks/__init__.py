"""The hazard checks: one file a check, each listing its own in ``MEMBERS``."""
