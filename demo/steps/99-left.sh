part 'What is left' 2027-12-12

printf '\n$ ls %s %s\n' "$out" "$out/export"
ls "$out" "$out/export"
say "Print tags-letter.pdf, tags-a4.pdf and tags-stake.pdf at 100 %. Read the take tables beside them. The files in export
open in any spreadsheet. The book is yours to go on with, for instance:"
printf '\n  graftbook --book %s due --on %s --brief\n' "$GRAFTBOOK_BOOK" "$GRAFTBOOK_TODAY" | tee /dev/fd/3
say "Every command, and all it answered: $played."
