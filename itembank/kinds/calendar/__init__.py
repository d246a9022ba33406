"""Calendar and clock: the weekday after so many days, of a date, and the hour after so many."""
