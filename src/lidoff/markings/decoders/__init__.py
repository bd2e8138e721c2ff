"""The family of decoders: one file a rule, each listing its own in ``MEMBERS``."""
