"""What chips without a name may be, one file a sort; each module lists its own in ``MEMBERS``."""
