"""How it looks and speaks: answers, blocks, words, figures, and the renderings for screen, paper and terminal."""
