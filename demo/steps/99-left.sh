part 'What is left' 2027-12-12

printf '\n$ ls %s %s\n' "$out" "$out/export"
ls "$out" "$out/export"
say "Print tags-letter.pdf, tags-a4.pdf and tags-stake.pdf at 100 %. Read the take tables beside them. The files in export
open in any spreadsheet. The book is yours to go on with, for instance:"
next="graftbook --book $GRAFTBOOK_BOOK due --on $GRAFTBOOK_TODAY --brief"
printf '\n  %s\n' "$next"
printf '  %s\n' "$next" >&3
say "Every command, and all it answered: $played."
