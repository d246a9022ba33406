"""All digits for the question mark with which a number is divisible by m."""
