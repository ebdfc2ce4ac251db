# Sets rows of cells as tables for tbl and troff: a new one where the width changes.
BEGIN { FS = "\t"; print ".ps 5\n.vs 7\n.pl 29.7c\n.po 1c\n.ll 19c" }
NF != width { if (width) print ".TE"; width = NF; print ".TS\n;"; for (i = 1; i <= width; i++) printf "l%s", i < width ? " " : ".\n" }
{ gsub(/\\/, "\\e"); print }
END { if (width) print ".TE" }
