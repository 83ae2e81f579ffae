"""What a thing is or might be, where it came from and what came from it: pure walks over plain links."""
