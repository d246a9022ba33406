"""How often a prime divides n!, and how many zeros end it."""
