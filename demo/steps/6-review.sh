part 'Winter again: what took' 2026-10-17

say 'The few of this spring: one is green and waits, and one took before the deer had it. Too few to tell anything apart.'
graftbook take --by method --season 2025-26

say 'Last year once more. One side graft sat still a whole year and then grew: 3 of 7 have become 4 of 7, and the buds of
summer are decided as they are forced and grow.'
graftbook take --by method --season 2024-25
graftbook take --by half-month --endpoint set --season 2024-25

say 'What grew on into a second season.'
graftbook take --by species --endpoint established --season 2024-25

say 'Stocks counted instead of grafts, whichever attempt it was.'
graftbook take --by stock --unit stock --season 2024-25

say 'Did one way do better? Within kinds, with a range, and with what else changed at the same time.'
graftbook take compare method=whip-and-tongue,cleft --season 2024-25
graftbook take compare method=whip-and-tongue,side-veneer --season 2024-25 --within species,stock

say 'The tables as files: to read, for a spreadsheet, and for another program.'
into "$out/take-species-method.txt" take --by species,method
into "$out/take-species-method.csv" take --by species,method --csv
into "$out/take-species-method.json" take --by species,method --json
into "$out/take-half-month.txt" take --by half-month
into "$out/take-half-month.csv" take --by half-month --csv
into "$out/take-half-month.json" take --by half-month --json

part 'Out, and in again' 2026-10-18

say 'Is the book sound before it is copied?'
graftbook doctor

say 'The whole book as plain files, taken into an empty book and written again.'
graftbook export "$out/export"
graftbook --book "$out/second.sqlite" start
graftbook --book "$out/second.sqlite" import "$out/export"
into "$out/export-again.txt" --book "$out/second.sqlite" export "$out/export-again"
printf '\n$ diff -r %s %s\n' "$out/export" "$out/export-again"
diff -r "$out/export" "$out/export-again"
printf '(no difference)\n'
rm -rf "$out/export-again" "$out/export-again.txt" "$out/second.sqlite"
