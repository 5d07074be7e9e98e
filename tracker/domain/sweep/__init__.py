"""The sweep: what is played, what a recording of it says of the room, and what changed between two of them."""
