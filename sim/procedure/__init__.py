"""The procedure: cards, the facts they rest on, what voids them, and unsafe conduct."""
