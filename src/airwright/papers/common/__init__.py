"""What all documents share: page, fonts, house style, words, typesetting."""
