"""The Python door: the verbs and nouns that `import standtrue` offers, each loaded when it is first named."""
