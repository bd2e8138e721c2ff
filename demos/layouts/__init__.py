"""Layouts of the demos' boards, one file each; invented, like the devices."""
