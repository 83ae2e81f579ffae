# The bundle added last.
newest_wood() {
    "$python" -m graftbook wood list --empty --json |
        "$python" -c 'import json, sys; print(max((row["code"] for row in json.load(sys.stdin)["rows"]), key=lambda c: int(c[1:])))'
}

part 'Names in doubt, and where wood went' 2027-12-05

say 'Nobody knows what the fig on the south wall is. It gets a nickname, so that its wood can carry one.'
graftbook name P13 unknown --nickname 'south wall fig' --why 'here before us' --who Ada

say 'Two bundles are cut, and in the van the ties slip off. From now on each of the five sticks is one or the other.'
graftbook wood add --source P4 --sticks 3 --buds 5 --diameter 5-7mm --who Mo
first=$(newest_wood)
graftbook wood add --source P5 --sticks 2 --buds 5 --diameter 5-6mm --who Mo
second=$(newest_wood)
graftbook wood mixed "$first" "$second" --sticks 5 --note 'downy bark on some' --who Mo
loose=$(newest_wood)
graftbook wood give "$loose/5" --to Tess

say 'Under the lens three have the downy bark of one of them. Those are all there were, so the rest must be the other; and
Tess has one of these.'
graftbook name "$loose/1,$loose/2,$loose/3" 'Beck Costard' --sure tested --why 'downy bark' --who Kit
graftbook name list --doubt

say 'The Brindle Codlin on the worked-over trees: where the buds of August 2025 came from, and what came of that wood.'
graftbook trace up G111
graftbook trace down W20 --plants 1

part 'Asking, giving, and what would be lost' 2027-12-12

say 'A right the grower has noted is told when wood is asked for and given, until its last day.'
graftbook tree note P2 --rights 'our club only' --until 2027-12-31
graftbook wood request 'smokey jane' --for Ilo --sticks 2
graftbook name have 'smokey jane'
graftbook wood thanks
graftbook only
graftbook mcpd -o "$out/living.csv"

say 'A name said twice is no doubt.'
refused 2 name P15 'Dull Sweeting or dull sweeting'
