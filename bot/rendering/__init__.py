"""Words and pictures: replies as texts for a phone held in one hand."""
