# The cultivar of a plant: name_of P1.
name_of() {
    "$python" -m graftbook tree list --limit 100000 --json |
        "$python" -c 'import json, sys; print(next(r["cultivar"] for r in json.load(sys.stdin)["rows"] if r["code"] == sys.argv[1]))' "$1"
}

part 'A copy of the book for the winter: what is wanted' 2027-02-07

say 'The planning evening is played on a copy of the book, made from its own files.'
tarrow=$GRAFTBOOK_BOOK
graftbook --book "$out/spring.sqlite" start
graftbook --book "$out/spring.sqlite" import "$out/export"
export GRAFTBOOK_BOOK="$out/spring.sqlite"

say 'What was pruned in January, and the stocks that came for it: some for the school, some for here.'
graftbook wood add --source P1 --sticks 5 --buds 6 --diameter 7-9mm --length 30cm --cut 2027-01-16 --store 'barn fridge'
graftbook wood add --source P3 --sticks 2 --buds 6 --diameter 6-8mm --length 28cm --cut 2027-01-16 --store 'barn fridge'
graftbook stock add MM.106 --count 8 --diameter 9mm --place 'barn bench' --site 'Tarrow school' --acquired 2027-02-01
graftbook stock add MM.106 --count 6 --grade 6-9mm --place 'barn bench' --site Tarrow --acquired 2027-02-01

say 'The wants: how many, how many must live, on how many sites, for whom.'
first=$(name_of P1)
second=$(name_of P3)
graftbook want add "$first" 6 --living 3 --sites 2 --priority 1 --for 'the school'
graftbook want add "$second" 4 --living 2 --priority 1
graftbook want add 'Marrow Pippin' 2 --priority 3 --note 'promised by Ilo, not come yet'
graftbook want list

say 'Back from the wants: how many grafts, sticks and stocks they take, by what this book has counted.'
graftbook plan need
graftbook plan need --trees 2500 --through take=0.85,winter=0.96,grade=0.92 --flat 15%

part 'A copy of the book for the winter: the plan' 2027-02-14

say 'Which piece of which stick goes on which stock, what is short, and what a bud held back would cost. (Nothing is kept yet.)'
graftbook plan --on 2027-02-20 --place 'barn bench' --dry-run

say 'The same as a fair trial of two ties, drawn by lot; then on paper for the bench.'
graftbook plan --on 2027-02-20 --place 'barn bench' --compare tie=rubber,tape --seed 7
graftbook plan sheet -o "$out/bench.pdf"

say 'A plan that cannot be: nobody has wood of it.'
refused 23 plan --on 2027-02-20 --wants 3

part 'A copy of the book for the winter: the bench day' 2027-02-20

say "The day as it was: the stock of line 2 was cracked and another taken, line 3 was not made. What is wrong is said all at once."
refused 3 graft --plan 1 --done --swap 2=P99 --except 77
graftbook stock add MM.106 --count 1 --diameter 8mm --place 'barn bench' --site Tarrow --acquired 2027-02-01
graftbook graft --plan 1 --done --swap 2=P55 --except 3 --seal wax --bench --who Kit
graftbook plan list
graftbook want list

export GRAFTBOOK_BOOK="$tarrow"
rm -f "$out/spring.sqlite" "$out/spring.sqlite-wal" "$out/spring.sqlite-shm"
say 'bench.pdf is the sheet of that day: print it at 100 %. The copy is gone again; the book of Tarrow is as it was.'
