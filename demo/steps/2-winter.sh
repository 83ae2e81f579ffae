part 'Pruning, and saving the good prunings' 2026-01-17

say 'P3 is the only old tree of its kind. It is pruned lightly, and two bundles are saved from it in the same breath.'
graftbook prune P3 --thinning 4 --heading 11 --removed 15% --save '9 sticks 5-8mm 25cm 5 buds' \
    --save '2 sticks 4-5mm 18cm 3 buds' --store 'barn fridge' --temperature 3C --who Ada

say 'P2 lost rather more than it should.'
graftbook prune P2 --thinning 12 --heading 20 --bench 3 --removed 40% --who Mo

say 'A neighbour sends wood, measured in inches. Three new stocks have come.'
graftbook wood add 'Quern Russet' --species apple --from Ilo --cut 12/1/26 --received yesterday --sticks 4 \
    --diameter 1/4-5/16in --buds 5 --store 'barn fridge' --temperature 3C --who Ada
graftbook stock add MM.106 --count 3 --grade 6-9mm --place 'nursery bed' --row A --order 11 \
    --from 'stock beds over the hill'

part 'Wood in the fridge' 2026-03-07

graftbook wood inspect W21-W23 sound --who Kit
graftbook wood list
