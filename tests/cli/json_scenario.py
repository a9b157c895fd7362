"""Every command once or more often with ``--json``, in an order that works on a shop of the demo jobs.

Each line: the definition of schemas/outputs.json (or the schema) that its answer must fit, the exit code, the command.
``{at}`` is a scratch folder, ``{examples}`` the folder of example files, ``{fd}`` an open file with a PIN.
"""

NEW = "new --vehicle Alder --plate FEN-204 --customer Ivo --odometer-in '91,804 mi' --ready-by 2026-11-25"
WAITS = "later: replace belt; may wait; because it is dry; risk: it may break; in 2 months"

SCENARIO = f"""
shop-settings 0 shop
shop-settings 0 shop distance km
shop-settings 0 shop person 'Ona Vell' writer
shop-taken 0 shop prices {{examples}}/price-list.json
price-list 0 shop prices
shop-taken 0 shop pack {{examples}}/rule-pack.json
shop-packs 0 shop pack
rule-pack 0 shop pack MY-PLACE
shop-taken 0 shop limits {{examples}}/limits-book.json
shop-limits 0 shop limits
shop-proposed 0 shop limits --proposed
shop-glossary 0 shop glossary {{examples}}/glossary.txt
shop-keys 0 shop keys
shop-check 0 shop check {{examples}}/price-list.json
shop-check 1 shop check {{at}}/wrong.json
shop-example 0 shop example prices
shop-group 0 shop group
shop-trust 0 shop trust
demo 0 demo
demo 0 demo --keep {{at}}/practice.db
list 0 list
list 0 list --all
show 0 show 1020
show 0 show 1001
ticket-summary 0 {NEW}
ticket-summary 0 set 1024 --waits-for ready
added 0 add 1024 'found: LF pad 1.9 mm (min 3.0 per maker)' 'says: grinding noise' 'code: P0562-16, stored'
added 0 add 1024 'offer: replace pads; for 1; hours 1; parts 60' 'told: Ivo by phone 555, yes 4; total 300; deposit 50'
added 0 add 1024 'found: belt glazed like glass' 'cause: worn pads; from 1' 'did: 1.2 h replace pads; for 4'
added 0 add 1024 '{WAITS}' 'proof: codes read again, none stored' 'used: 1 x PD-2 pads, new @ 60; for 4'
added 0 add 1024 'proof: 1 now 9.8 mm' 'note: struck soon' 'photo: {{at}}/pad.jpg; worn pad; for 1'
changed 0 edit 1024 1 'found: LF pad 1.8 mm (min 3.0 per maker)'
changed 0 strike 1024 13
read 1 read 'found: LF pad 1.9 mm (min 3.0)' 'blah 12 34'
talk 0 talk 1022
story 0 story 1020
story 0 story 1020 --for payer
paper 0 paper 1020
reworded 0 reword 1022 --list
phrases 0 phrases
phrases 0 phrases 1024
phrases-taken 0 phrases take 1022/4 'The radiator, the hoses and the water pump were dry under test pressure.' --keep
phrases-entry 0 phrases word swivel thing --plural swivels
phrases-found 0 phrases find swivel
phrases-imported 0 phrases import {{examples}}/phrasebook.po
phrases-entry 0 phrases back 1
gaps 0 gaps 1024
past 0 past P0562-16
past 1 past zzyzx
past-count 0 past P0562 --count tech
sample 0 sample since:2020 --n 3 --seed 7
before 0 before P0562-16
before 0 before P0455 --within 60d --within 3000mi
due 0 due
due-explained 0 due 1024/9 --explain
due-recorded 0 due 1024/9 --call --note 'asked to call again'
due-reminder 0 due 1024/9 --remind text
due-calibration 0 due --calibration
forecast 0 forecast --reading 2025-11-03=57650 --reading 2025-06-30=54100 --after 500mi
code 0 code P0562-16 'SPN 102 FMI 18'
code-import 0 code --import {{examples}}/codes.csv
check 0 check '4.0 mm (min 3.0)'
check 1 check 'LF 1.9 RF 4.4 mm (min 3.0)'
vin 0 vin 11111111111111111
bill 0 bill 1024
estimate 0 estimate 1024
paper 0 estimate 1024 --as text
estimate-versions 0 estimate 1024 --versions
paper 0 receipt 1024
message 0 message 1024
promised 0 promised 2026-11-25
allowed 0 allowed 400 --rules US-FL
allowed-compared 0 allowed 400 --compare US-FL US-CO
hours 0 hours
signed 0 sign 1024
paper 0 invoice 1024
totals 0 totals 2026-11-25
added 0 amend 1024 --reason 'typed wrong' 'note: seen again'
ticket-summary 0 amend 1024 --reason 'plate misread' --plate 'RKM 318'
loaded 0 load {{at}}/job.txt
added 0 add 1025 'found: LF pad 1.9 mm (min 3.0)'
gaps 1 gaps 1025
ticket 0 dump 1020
dump-all 0 dump
dump-all 0 dump --since 2020-01-01
customer-dump 0 dump --customer Ivo
picture 0 picture 1024 14
audit 0 audit
audit 0 audit --deep
head 0 head
head-keys 0 head --keys
index 0 index --check
backup 0 backup {{at}}/copy.db
backup 0 backup {{at}} --keep 2
forget 0 forget 1024
forget-due 0 forget --due
cheat 0 cheat
health 0 health
completion 0 completion bash
manual 0 man
restored 0 restore {{at}}/copy.db --to {{at}}/back.db
rescued 0 rescue {{at}}/copy.db {{at}}/rescued.db
shop-pin 0 shop pin --pin-fd {{fd}}
shop-made 0 shop --start Other --db {{at}}/other.db
error 2 show 9999
error 2 gather
error 2 serve --host 10.0.0.1
error 2 show
error 2 demo --db {{at}}/other.db
"""
