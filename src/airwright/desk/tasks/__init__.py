"""Work in the background: packs of papers and photographs, in processes of their own."""
