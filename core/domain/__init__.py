"""The nouns of the trade: frozen values that refuse what cannot be."""
