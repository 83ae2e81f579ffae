# The code of the newest thing of a kind: newest_code wood, newest_code stock.
newest_code() {
    "$python" -m graftbook "$1" list --limit 100000 --json |
        "$python" -c 'import json, sys; print(max((r["code"] for r in json.load(sys.stdin)["rows"]), key=lambda c: int(c[1:])))'
}

part 'The clocks: wood from store to store' 2027-02-21

say 'Plum wood is cut in January and lies cold; in February the fridge is wanted for something else.'
graftbook wood add --source P8 --sticks 4 --buds 6 --diameter 6-8mm --cut 2027-01-16 --store 'barn fridge' --temperature 2C
plum=$(newest_code wood)
graftbook wood add --source P1 --sticks 6 --buds 6 --diameter 7-9mm --cut 2027-01-16 --store 'barn fridge' --temperature 2C
apple=$(newest_code wood)
graftbook wood store "$plum,$apple" --store 'apple loft' --temperature 4.5C --on 2027-02-14
graftbook wood show "$plum"

say 'What is to be used first, what nobody looked at, and how to empty the fridge.'
graftbook wood list --use-first
graftbook wood list --unseen 14 --store 'apple loft'
graftbook wood list --store 'barn fridge'
graftbook wood discard W21-W23 --who Kit --note 'Brown under the bark'

part 'The clocks: stages of the spring' 2027-04-24

say 'Stages by the words of the trade or by BBCH code, each kept with its day; the bark by itself.'
graftbook tree stage P1 07 --on 2027-03-29 --who Ada
graftbook tree stage P1 mouse-ear --on 2027-04-09 --who Ada
graftbook tree stage P1 57 --on 2027-04-24 --who Ada
graftbook tree stages P1
graftbook stock add MM.106 --count 4 --place 'nursery bed' --row C --order 1 --acquired 2027-02-20 --diameter 8mm
last=$(newest_code stock) && last=${last#P}
new="P$((last - 3))-P$last"
graftbook stock bark "$new" tight --on 2027-04-17 --who Ada
graftbook graft "$apple" "$new" --method whip-and-tongue --stock 8mm --scion 8mm --tie tape --seal wax --on 2027-04-17 --who Ada

part 'The clocks: what is due' 2027-06-20

say 'A calendar for any calendar program, and a sheet to walk with.'
graftbook due --calendar "$out/round.ics" --alarm 8:00 --place 'nursery bed' --weeks 4
graftbook due sheet -o "$out/round.pdf" --place 'nursery bed'

say 'The round is done, a row in one stroke. Written again, the same file takes out of the calendar what is done.'
graftbook care rub off --place 'nursery bed' --row C --who Bren
graftbook due --calendar "$out/round.ics" --alarm 8:00 --place 'nursery bed' --weeks 4

say 'A reminder of your own goes by the length of the shoot, and says so.'
graftbook trade add aftercare key=own-tie 'rule=release tie' unit=graft methods=whip-and-tongue shoot_mm=75 \
    'growth=shoot of 75 mm' 'words=Slit the tape once the shoot is a finger long.' 'source=our own rows'
graftbook look "$new" growing --shoot 9cm --who Bren
graftbook due --place 'nursery bed' --brief
