"""Parts, pins and nets, the kinds of part, and the solving of what they make together."""
