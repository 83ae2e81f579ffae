"""The page at the bench: a small server over the same actions, for phones and for people who never see a terminal."""
