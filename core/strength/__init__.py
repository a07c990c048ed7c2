"""How strong a lifter is: equations, the repetition curve, the estimate and the records."""
