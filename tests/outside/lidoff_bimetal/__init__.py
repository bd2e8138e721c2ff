"""Bimetal thermostats: an example of what a package of others adds to lidoff."""
