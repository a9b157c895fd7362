-- Generated from the declarations of the entries; the program makes these views itself.

CREATE VIEW v_ticket AS SELECT
  t.number AS "number",
  t.status AS "status",
  t.opened AS "opened",
  t.closed AS "closed",
  (SELECT name FROM person WHERE id = t.signed_by) AS "signed_by",
  json_extract(t.header, '$.vehicle.label') AS "vehicle",
  json_extract(t.header, '$.vehicle.vin') AS "vin",
  json_extract(t.header, '$.vehicle.plate') AS "plate",
  (SELECT value FROM identity WHERE id = json_extract(t.header, '$.customer.name.identity')) AS "customer",
  (SELECT value FROM identity WHERE id = json_extract(t.header, '$.customer.phone.identity')) AS "phone",
  (SELECT value FROM identity WHERE id = json_extract(t.header, '$.customer.email.identity')) AS "email",
  (SELECT value FROM identity WHERE id = json_extract(t.header, '$.customer.address.identity')) AS "address",
  json_extract(t.header, '$.odometer_in.number') AS "odometer_in",
  json_extract(t.header, '$.odometer_in.unit') AS "odometer_in_unit",
  json_extract(t.header, '$.odometer_out.number') AS "odometer_out",
  json_extract(t.header, '$.odometer_out.unit') AS "odometer_out_unit",
  json_extract(t.header, '$.odometer_reason.number') AS "odometer_reason",
  json_extract(t.header, '$.odometer_reason.unit') AS "odometer_reason_unit",
  json_extract(t.header, '$.ready_by') AS "ready_by",
  json_extract(t.header, '$.discount.amount') AS "discount_amount",
  json_extract(t.header, '$.discount.percent') AS "discount_percent",
  json_extract(t.header, '$.discount.of') AS "discount_of",
  json_extract(t.header, '$.discount.reason') AS "discount_reason",
  json_extract(t.header, '$.tax_place') AS "tax_place",
  json_extract(t.header, '$.warranty.name') AS "warranty_name",
  json_extract(t.header, '$.warranty.deductible') AS "warranty_deductible",
  json_extract(t.header, '$.warranty.approval') AS "warranty_approval",
  json_extract(t.header, '$.contract.name') AS "contract_name",
  json_extract(t.header, '$.contract.deductible') AS "contract_deductible",
  json_extract(t.header, '$.contract.approval') AS "contract_approval",
  json_extract(t.header, '$.sums_told') AS "sums_told",
  json_extract(t.header, '$.pays') AS "pays",
  t.seal AS "seal",
  t.updated AS "updated"
FROM ticket AS t;

CREATE VIEW v_says AS SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.concern AS "concern",
  (SELECT name FROM person WHERE id = e.person_id) AS "written_by",
  e.at AS "written_at",
  json_extract(e.data, '$.text') AS "text",
  json_extract(e.data, '$.reproduced') AS "reproduced",
  json_extract(e.data, '$.back_from') AS "back_from",
  e.shop_only AS "shop_only",
  e.struck AS "struck",
  e.amend IS NOT NULL AS "amended",
  e.replaces AS "replaces",
  e.reason AS "reason"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id WHERE e.kind = 'says';

CREATE VIEW v_code AS SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.concern AS "concern",
  (SELECT name FROM person WHERE id = e.person_id) AS "written_by",
  e.at AS "written_at",
  json_extract(e.data, '$.code') AS "code",
  json_extract(e.data, '$.sub') AS "sub",
  json_extract(e.data, '$.unit') AS "unit",
  json_extract(e.data, '$.status') AS "status",
  json_extract(e.data, '$.times') AS "times",
  json_extract(e.data, '$.moment') AS "moment",
  json_extract(e.data, '$.frame') AS "frame",
  e.shop_only AS "shop_only",
  e.struck AS "struck",
  e.amend IS NOT NULL AS "amended",
  e.replaces AS "replaces",
  e.reason AS "reason"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id WHERE e.kind = 'code';

CREATE VIEW v_found AS SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.concern AS "concern",
  (SELECT name FROM person WHERE id = e.person_id) AS "written_by",
  e.at AS "written_at",
  json_extract(e.data, '$.what') AS "what",
  iif(json_type(e.data, '$.run') IS NOT NULL, (SELECT group_concat(trim(coalesce(json_extract(v.value, '$.label'), '') || ' ' || json_extract(v.value, '$.number')), ', ') FROM json_each(e.data, '$.run.values') AS v), (SELECT group_concat(trim(coalesce((SELECT group_concat(a.value, ' ') FROM json_each(v.value, '$.at') AS a), '') || ' ' || CASE WHEN json_extract(v.value, '$.to') IS NOT NULL THEN json_extract(v.value, '$.value') || '-' || json_extract(v.value, '$.to') WHEN json_extract(v.value, '$.than') = '>=' THEN json_extract(v.value, '$.value') || '+' ELSE coalesce(json_extract(v.value, '$.than'), '') || json_extract(v.value, '$.value') END), ', ') FROM json_each(e.data, '$.measurements') AS v)) AS "number",
  iif(json_type(e.data, '$.run') IS NOT NULL, json_extract(e.data, '$.run.unit'), (SELECT group_concat(one, ', ') FROM (SELECT DISTINCT json_extract(v.value, '$.unit') AS one FROM json_each(e.data, '$.measurements') AS v))) AS "unit",
  iif(json_type(e.data, '$.run') IS NOT NULL, nullif(trim((CASE WHEN json_extract(e.data, '$.run.limits.nominal') IS NOT NULL THEN json_extract(e.data, '$.run.limits.nominal') || coalesce(' +/- ' || json_extract(e.data, '$.run.limits.tol'), '') WHEN json_extract(e.data, '$.run.limits.low') IS NOT NULL AND json_extract(e.data, '$.run.limits.high') IS NOT NULL THEN json_extract(e.data, '$.run.limits.low') || ' to ' || json_extract(e.data, '$.run.limits.high') WHEN json_extract(e.data, '$.run.limits.low') IS NOT NULL THEN 'min ' || json_extract(e.data, '$.run.limits.low') WHEN json_extract(e.data, '$.run.limits.high') IS NOT NULL THEN 'max ' || json_extract(e.data, '$.run.limits.high') ELSE '' END || coalesce(' ' || json_extract(e.data, '$.run.limits.unit'), '')) || (CASE WHEN json_extract(e.data, '$.run.limits.spread') IS NULL THEN '' ELSE iif((CASE WHEN json_extract(e.data, '$.run.limits.nominal') IS NOT NULL THEN json_extract(e.data, '$.run.limits.nominal') || coalesce(' +/- ' || json_extract(e.data, '$.run.limits.tol'), '') WHEN json_extract(e.data, '$.run.limits.low') IS NOT NULL AND json_extract(e.data, '$.run.limits.high') IS NOT NULL THEN json_extract(e.data, '$.run.limits.low') || ' to ' || json_extract(e.data, '$.run.limits.high') WHEN json_extract(e.data, '$.run.limits.low') IS NOT NULL THEN 'min ' || json_extract(e.data, '$.run.limits.low') WHEN json_extract(e.data, '$.run.limits.high') IS NOT NULL THEN 'max ' || json_extract(e.data, '$.run.limits.high') ELSE '' END || coalesce(' ' || json_extract(e.data, '$.run.limits.unit'), '')) = '', '', ', ') || 'spread ' || json_extract(e.data, '$.run.limits.spread') || coalesce(' ' || json_extract(e.data, '$.run.limits.spread_unit'), '') END) || coalesce(' per ' || json_extract(e.data, '$.run.limits.source'), '')), ''), (SELECT group_concat(one, ', ') FROM (SELECT DISTINCT nullif(trim((CASE WHEN json_extract(v.value, '$.limits.nominal') IS NOT NULL THEN json_extract(v.value, '$.limits.nominal') || coalesce(' +/- ' || json_extract(v.value, '$.limits.tol'), '') WHEN json_extract(v.value, '$.limits.low') IS NOT NULL AND json_extract(v.value, '$.limits.high') IS NOT NULL THEN json_extract(v.value, '$.limits.low') || ' to ' || json_extract(v.value, '$.limits.high') WHEN json_extract(v.value, '$.limits.low') IS NOT NULL THEN 'min ' || json_extract(v.value, '$.limits.low') WHEN json_extract(v.value, '$.limits.high') IS NOT NULL THEN 'max ' || json_extract(v.value, '$.limits.high') ELSE '' END || coalesce(' ' || json_extract(v.value, '$.limits.unit'), '')) || (CASE WHEN json_extract(v.value, '$.limits.spread') IS NULL THEN '' ELSE iif((CASE WHEN json_extract(v.value, '$.limits.nominal') IS NOT NULL THEN json_extract(v.value, '$.limits.nominal') || coalesce(' +/- ' || json_extract(v.value, '$.limits.tol'), '') WHEN json_extract(v.value, '$.limits.low') IS NOT NULL AND json_extract(v.value, '$.limits.high') IS NOT NULL THEN json_extract(v.value, '$.limits.low') || ' to ' || json_extract(v.value, '$.limits.high') WHEN json_extract(v.value, '$.limits.low') IS NOT NULL THEN 'min ' || json_extract(v.value, '$.limits.low') WHEN json_extract(v.value, '$.limits.high') IS NOT NULL THEN 'max ' || json_extract(v.value, '$.limits.high') ELSE '' END || coalesce(' ' || json_extract(v.value, '$.limits.unit'), '')) = '', '', ', ') || 'spread ' || json_extract(v.value, '$.limits.spread') || coalesce(' ' || json_extract(v.value, '$.limits.spread_unit'), '') END) || coalesce(' per ' || json_extract(v.value, '$.limits.source'), '')), '') AS one FROM json_each(e.data, '$.measurements') AS v))) AS "limits",
  json_extract(e.data, '$.seen') AS "seen",
  e.shop_only AS "shop_only",
  e.struck AS "struck",
  e.amend IS NOT NULL AS "amended",
  e.replaces AS "replaces",
  e.reason AS "reason"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id WHERE e.kind = 'found';

CREATE VIEW v_maybe AS SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.concern AS "concern",
  (SELECT name FROM person WHERE id = e.person_id) AS "written_by",
  e.at AS "written_at",
  json_extract(e.data, '$.text') AS "text",
  (SELECT group_concat(coalesce(json_extract(v.value, '$.ticket') || '/', '') || json_extract(v.value, '$.no'), ', ') FROM json_each(e.data, '$.refs') AS v) AS "refs",
  e.shop_only AS "shop_only",
  e.struck AS "struck",
  e.amend IS NOT NULL AS "amended",
  e.replaces AS "replaces",
  e.reason AS "reason"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id WHERE e.kind = 'maybe';

CREATE VIEW v_ruled AS SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.concern AS "concern",
  (SELECT name FROM person WHERE id = e.person_id) AS "written_by",
  e.at AS "written_at",
  json_extract(e.data, '$.text') AS "text",
  e.reason AS "reason",
  (SELECT group_concat(coalesce(json_extract(v.value, '$.ticket') || '/', '') || json_extract(v.value, '$.no'), ', ') FROM json_each(e.data, '$.refs') AS v) AS "refs",
  e.shop_only AS "shop_only",
  e.struck AS "struck",
  e.amend IS NOT NULL AS "amended",
  e.replaces AS "replaces"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id WHERE e.kind = 'ruled';

CREATE VIEW v_cause AS SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.concern AS "concern",
  (SELECT name FROM person WHERE id = e.person_id) AS "written_by",
  e.at AS "written_at",
  json_extract(e.data, '$.text') AS "text",
  json_extract(e.data, '$.sure') AS "sure",
  (SELECT group_concat(coalesce(json_extract(v.value, '$.ticket') || '/', '') || json_extract(v.value, '$.no'), ', ') FROM json_each(e.data, '$.refs') AS v) AS "refs",
  e.shop_only AS "shop_only",
  e.struck AS "struck",
  e.amend IS NOT NULL AS "amended",
  e.replaces AS "replaces",
  e.reason AS "reason"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id WHERE e.kind = 'cause';

CREATE VIEW v_offer AS SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.concern AS "concern",
  (SELECT name FROM person WHERE id = e.person_id) AS "written_by",
  e.at AS "written_at",
  json_extract(e.data, '$.text') AS "text",
  (SELECT group_concat(coalesce(json_extract(v.value, '$.ticket') || '/', '') || json_extract(v.value, '$.no'), ', ') FROM json_each(e.data, '$.refs') AS v) AS "refs",
  json_extract(e.data, '$.judgement') AS "judgement",
  json_extract(e.data, '$.hours') AS "hours",
  json_extract(e.data, '$.parts') AS "parts",
  json_extract(e.data, '$.estimate') AS "estimate",
  e.shop_only AS "shop_only",
  e.struck AS "struck",
  e.amend IS NOT NULL AS "amended",
  e.replaces AS "replaces",
  e.reason AS "reason"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id WHERE e.kind = 'offer';

CREATE VIEW v_did AS SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.concern AS "concern",
  (SELECT name FROM person WHERE id = e.person_id) AS "written_by",
  e.at AS "written_at",
  json_extract(e.data, '$.hours') AS "hours",
  json_extract(e.data, '$.text') AS "text",
  (SELECT group_concat(coalesce(json_extract(v.value, '$.ticket') || '/', '') || json_extract(v.value, '$.no'), ', ') FROM json_each(e.data, '$.refs') AS v) AS "refs",
  (SELECT group_concat(json_extract(v.value, '$.start') || '-' || json_extract(v.value, '$.end'), ', ') FROM json_each(e.data, '$.clock') AS v) AS "clock",
  json_extract(e.data, '$.less') AS "less",
  json_extract(e.data, '$.shared') AS "shared",
  json_extract(e.data, '$.by') AS "by",
  json_extract(e.data, '$.rate') AS "rate",
  json_extract(e.data, '$.pays') AS "pays",
  json_extract(e.data, '$.split') AS "split",
  e.shop_only AS "shop_only",
  e.struck AS "struck",
  e.amend IS NOT NULL AS "amended",
  e.replaces AS "replaces",
  e.reason AS "reason"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id WHERE e.kind = 'did';

CREATE VIEW v_used AS SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.concern AS "concern",
  (SELECT name FROM person WHERE id = e.person_id) AS "written_by",
  e.at AS "written_at",
  json_extract(e.data, '$.amount') AS "amount",
  json_extract(e.data, '$.unit') AS "unit",
  json_extract(e.data, '$.part') AS "part",
  json_extract(e.data, '$.text') AS "text",
  json_extract(e.data, '$.condition') AS "condition",
  json_extract(e.data, '$.price') AS "price",
  json_extract(e.data, '$.core') AS "core",
  json_extract(e.data, '$.back') AS "back",
  json_extract(e.data, '$.cost') AS "cost",
  (SELECT group_concat(coalesce(json_extract(v.value, '$.ticket') || '/', '') || json_extract(v.value, '$.no'), ', ') FROM json_each(e.data, '$.refs') AS v) AS "refs",
  json_extract(e.data, '$.pays') AS "pays",
  json_extract(e.data, '$.split') AS "split",
  e.shop_only AS "shop_only",
  e.struck AS "struck",
  e.amend IS NOT NULL AS "amended",
  e.replaces AS "replaces",
  e.reason AS "reason"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id WHERE e.kind = 'used';

CREATE VIEW v_later AS SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.concern AS "concern",
  (SELECT name FROM person WHERE id = e.person_id) AS "written_by",
  e.at AS "written_at",
  json_extract(e.data, '$.text') AS "text",
  json_extract(e.data, '$.judgement') AS "judgement",
  json_extract(e.data, '$.because') AS "because",
  json_extract(e.data, '$.risk') AS "risk",
  json_extract(e.data, '$.watch') AS "watch",
  json_extract(e.data, '$.due.distance.number') || ' ' || json_extract(e.data, '$.due.distance.unit') AS "due_distance",
  json_extract(e.data, '$.due.time.number') || ' ' || json_extract(e.data, '$.due.time.unit') AS "due_time",
  json_extract(e.data, '$.due.hours.number') || ' ' || json_extract(e.data, '$.due.hours.unit') AS "due_hours",
  json_extract(e.data, '$.date') AS "date",
  json_extract(e.data, '$.estimate') AS "estimate",
  (SELECT group_concat(coalesce(json_extract(v.value, '$.ticket') || '/', '') || json_extract(v.value, '$.no'), ', ') FROM json_each(e.data, '$.refs') AS v) AS "refs",
  json_extract(e.data, '$.answer') AS "answer",
  e.shop_only AS "shop_only",
  e.struck AS "struck",
  e.amend IS NOT NULL AS "amended",
  e.replaces AS "replaces",
  e.reason AS "reason"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id WHERE e.kind = 'later';

CREATE VIEW v_told AS SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.concern AS "concern",
  (SELECT name FROM person WHERE id = e.person_id) AS "written_by",
  e.at AS "written_at",
  (SELECT value FROM identity WHERE id = json_extract(e.data, '$.who.identity')) AS "who",
  json_extract(e.data, '$.way') AS "way",
  (SELECT value FROM identity WHERE id = json_extract(e.data, '$.address.identity')) AS "address",
  json_extract(e.data, '$.words') AS "words",
  (SELECT group_concat(json_extract(v.value, '$.answer') || coalesce(' ' || (SELECT group_concat(coalesce(json_extract(r.value, '$.ticket') || '/', '') || json_extract(r.value, '$.no'), ' ') FROM json_each(v.value, '$.to') AS r), ''), '; ') FROM json_each(e.data, '$.answers') AS v) AS "answers",
  json_extract(e.data, '$.total') AS "total",
  json_extract(e.data, '$.ceiling') AS "ceiling",
  json_extract(e.data, '$.deposit') AS "deposit",
  json_extract(e.data, '$.tax') AS "tax",
  json_extract(e.data, '$.at') AS "at",
  json_extract(e.data, '$.by') AS "by",
  e.shop_only AS "shop_only",
  e.struck AS "struck",
  e.amend IS NOT NULL AS "amended",
  e.replaces AS "replaces",
  e.reason AS "reason"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id WHERE e.kind = 'told';

CREATE VIEW v_proof AS SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.concern AS "concern",
  (SELECT name FROM person WHERE id = e.person_id) AS "written_by",
  e.at AS "written_at",
  CASE WHEN json_extract(e.data, '$.of') IS NOT NULL THEN coalesce(json_extract(json_extract(e.data, '$.of'), '$.ticket') || '/', '') || json_extract(json_extract(e.data, '$.of'), '$.no') END AS "of",
  json_extract(e.data, '$.what') AS "what",
  iif(json_type(e.data, '$.run') IS NOT NULL, (SELECT group_concat(trim(coalesce(json_extract(v.value, '$.label'), '') || ' ' || json_extract(v.value, '$.number')), ', ') FROM json_each(e.data, '$.run.values') AS v), (SELECT group_concat(trim(coalesce((SELECT group_concat(a.value, ' ') FROM json_each(v.value, '$.at') AS a), '') || ' ' || CASE WHEN json_extract(v.value, '$.to') IS NOT NULL THEN json_extract(v.value, '$.value') || '-' || json_extract(v.value, '$.to') WHEN json_extract(v.value, '$.than') = '>=' THEN json_extract(v.value, '$.value') || '+' ELSE coalesce(json_extract(v.value, '$.than'), '') || json_extract(v.value, '$.value') END), ', ') FROM json_each(e.data, '$.measurements') AS v)) AS "number",
  iif(json_type(e.data, '$.run') IS NOT NULL, json_extract(e.data, '$.run.unit'), (SELECT group_concat(one, ', ') FROM (SELECT DISTINCT json_extract(v.value, '$.unit') AS one FROM json_each(e.data, '$.measurements') AS v))) AS "unit",
  iif(json_type(e.data, '$.run') IS NOT NULL, nullif(trim((CASE WHEN json_extract(e.data, '$.run.limits.nominal') IS NOT NULL THEN json_extract(e.data, '$.run.limits.nominal') || coalesce(' +/- ' || json_extract(e.data, '$.run.limits.tol'), '') WHEN json_extract(e.data, '$.run.limits.low') IS NOT NULL AND json_extract(e.data, '$.run.limits.high') IS NOT NULL THEN json_extract(e.data, '$.run.limits.low') || ' to ' || json_extract(e.data, '$.run.limits.high') WHEN json_extract(e.data, '$.run.limits.low') IS NOT NULL THEN 'min ' || json_extract(e.data, '$.run.limits.low') WHEN json_extract(e.data, '$.run.limits.high') IS NOT NULL THEN 'max ' || json_extract(e.data, '$.run.limits.high') ELSE '' END || coalesce(' ' || json_extract(e.data, '$.run.limits.unit'), '')) || (CASE WHEN json_extract(e.data, '$.run.limits.spread') IS NULL THEN '' ELSE iif((CASE WHEN json_extract(e.data, '$.run.limits.nominal') IS NOT NULL THEN json_extract(e.data, '$.run.limits.nominal') || coalesce(' +/- ' || json_extract(e.data, '$.run.limits.tol'), '') WHEN json_extract(e.data, '$.run.limits.low') IS NOT NULL AND json_extract(e.data, '$.run.limits.high') IS NOT NULL THEN json_extract(e.data, '$.run.limits.low') || ' to ' || json_extract(e.data, '$.run.limits.high') WHEN json_extract(e.data, '$.run.limits.low') IS NOT NULL THEN 'min ' || json_extract(e.data, '$.run.limits.low') WHEN json_extract(e.data, '$.run.limits.high') IS NOT NULL THEN 'max ' || json_extract(e.data, '$.run.limits.high') ELSE '' END || coalesce(' ' || json_extract(e.data, '$.run.limits.unit'), '')) = '', '', ', ') || 'spread ' || json_extract(e.data, '$.run.limits.spread') || coalesce(' ' || json_extract(e.data, '$.run.limits.spread_unit'), '') END) || coalesce(' per ' || json_extract(e.data, '$.run.limits.source'), '')), ''), (SELECT group_concat(one, ', ') FROM (SELECT DISTINCT nullif(trim((CASE WHEN json_extract(v.value, '$.limits.nominal') IS NOT NULL THEN json_extract(v.value, '$.limits.nominal') || coalesce(' +/- ' || json_extract(v.value, '$.limits.tol'), '') WHEN json_extract(v.value, '$.limits.low') IS NOT NULL AND json_extract(v.value, '$.limits.high') IS NOT NULL THEN json_extract(v.value, '$.limits.low') || ' to ' || json_extract(v.value, '$.limits.high') WHEN json_extract(v.value, '$.limits.low') IS NOT NULL THEN 'min ' || json_extract(v.value, '$.limits.low') WHEN json_extract(v.value, '$.limits.high') IS NOT NULL THEN 'max ' || json_extract(v.value, '$.limits.high') ELSE '' END || coalesce(' ' || json_extract(v.value, '$.limits.unit'), '')) || (CASE WHEN json_extract(v.value, '$.limits.spread') IS NULL THEN '' ELSE iif((CASE WHEN json_extract(v.value, '$.limits.nominal') IS NOT NULL THEN json_extract(v.value, '$.limits.nominal') || coalesce(' +/- ' || json_extract(v.value, '$.limits.tol'), '') WHEN json_extract(v.value, '$.limits.low') IS NOT NULL AND json_extract(v.value, '$.limits.high') IS NOT NULL THEN json_extract(v.value, '$.limits.low') || ' to ' || json_extract(v.value, '$.limits.high') WHEN json_extract(v.value, '$.limits.low') IS NOT NULL THEN 'min ' || json_extract(v.value, '$.limits.low') WHEN json_extract(v.value, '$.limits.high') IS NOT NULL THEN 'max ' || json_extract(v.value, '$.limits.high') ELSE '' END || coalesce(' ' || json_extract(v.value, '$.limits.unit'), '')) = '', '', ', ') || 'spread ' || json_extract(v.value, '$.limits.spread') || coalesce(' ' || json_extract(v.value, '$.limits.spread_unit'), '') END) || coalesce(' per ' || json_extract(v.value, '$.limits.source'), '')), '') AS one FROM json_each(e.data, '$.measurements') AS v))) AS "limits",
  json_extract(e.data, '$.seen') AS "seen",
  json_extract(e.data, '$.result') AS "result",
  e.shop_only AS "shop_only",
  e.struck AS "struck",
  e.amend IS NOT NULL AS "amended",
  e.replaces AS "replaces",
  e.reason AS "reason"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id WHERE e.kind = 'proof';

CREATE VIEW v_photo AS SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.concern AS "concern",
  (SELECT name FROM person WHERE id = e.person_id) AS "written_by",
  e.at AS "written_at",
  json_extract(e.data, '$.picture') AS "picture",
  json_extract(e.data, '$.text') AS "text",
  (SELECT group_concat(coalesce(json_extract(v.value, '$.ticket') || '/', '') || json_extract(v.value, '$.no'), ', ') FROM json_each(e.data, '$.refs') AS v) AS "refs",
  json_extract(e.data, '$.stage') AS "stage",
  e.shop_only AS "shop_only",
  e.struck AS "struck",
  e.amend IS NOT NULL AS "amended",
  e.replaces AS "replaces",
  e.reason AS "reason"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id WHERE e.kind = 'photo';

CREATE VIEW v_note AS SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.concern AS "concern",
  (SELECT name FROM person WHERE id = e.person_id) AS "written_by",
  e.at AS "written_at",
  json_extract(e.data, '$.text') AS "text",
  e.shop_only AS "shop_only",
  e.struck AS "struck",
  e.amend IS NOT NULL AS "amended",
  e.replaces AS "replaces",
  e.reason AS "reason"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id WHERE e.kind = 'note';

CREATE VIEW v_reading AS SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.kind AS "kind",
  json_extract(e.data, '$.what') AS "what",
  json_extract(v.value, '$.label') AS "label",
  json_extract(v.value, '$.number') AS "number",
  json_extract(e.data, '$.run.unit') AS "unit",
  nullif(trim((CASE WHEN json_extract(e.data, '$.run.limits.nominal') IS NOT NULL THEN json_extract(e.data, '$.run.limits.nominal') || coalesce(' +/- ' || json_extract(e.data, '$.run.limits.tol'), '') WHEN json_extract(e.data, '$.run.limits.low') IS NOT NULL AND json_extract(e.data, '$.run.limits.high') IS NOT NULL THEN json_extract(e.data, '$.run.limits.low') || ' to ' || json_extract(e.data, '$.run.limits.high') WHEN json_extract(e.data, '$.run.limits.low') IS NOT NULL THEN 'min ' || json_extract(e.data, '$.run.limits.low') WHEN json_extract(e.data, '$.run.limits.high') IS NOT NULL THEN 'max ' || json_extract(e.data, '$.run.limits.high') ELSE '' END || coalesce(' ' || json_extract(e.data, '$.run.limits.unit'), '')) || (CASE WHEN json_extract(e.data, '$.run.limits.spread') IS NULL THEN '' ELSE iif((CASE WHEN json_extract(e.data, '$.run.limits.nominal') IS NOT NULL THEN json_extract(e.data, '$.run.limits.nominal') || coalesce(' +/- ' || json_extract(e.data, '$.run.limits.tol'), '') WHEN json_extract(e.data, '$.run.limits.low') IS NOT NULL AND json_extract(e.data, '$.run.limits.high') IS NOT NULL THEN json_extract(e.data, '$.run.limits.low') || ' to ' || json_extract(e.data, '$.run.limits.high') WHEN json_extract(e.data, '$.run.limits.low') IS NOT NULL THEN 'min ' || json_extract(e.data, '$.run.limits.low') WHEN json_extract(e.data, '$.run.limits.high') IS NOT NULL THEN 'max ' || json_extract(e.data, '$.run.limits.high') ELSE '' END || coalesce(' ' || json_extract(e.data, '$.run.limits.unit'), '')) = '', '', ', ') || 'spread ' || json_extract(e.data, '$.run.limits.spread') || coalesce(' ' || json_extract(e.data, '$.run.limits.spread_unit'), '') END) || coalesce(' per ' || json_extract(e.data, '$.run.limits.source'), '')), '') AS "limits"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id JOIN json_each(e.data, '$.run.values') AS v WHERE e.kind IN ('found', 'proof') AND e.struck = 0 UNION ALL SELECT
  t.number AS "ticket",
  e.no AS "no",
  e.kind AS "kind",
  (SELECT group_concat(substr(json_extract(e.data, '$.what'), json_extract(s.value, '$.start') + 1, json_extract(s.value, '$.end') - json_extract(s.value, '$.start')), ' ') FROM json_each(v.value, '$.of') AS s) AS "what",
  (SELECT group_concat(a.value, ' ') FROM json_each(v.value, '$.at') AS a) AS "label",
  CASE WHEN json_extract(v.value, '$.to') IS NOT NULL THEN json_extract(v.value, '$.value') || '-' || json_extract(v.value, '$.to') WHEN json_extract(v.value, '$.than') = '>=' THEN json_extract(v.value, '$.value') || '+' ELSE coalesce(json_extract(v.value, '$.than'), '') || json_extract(v.value, '$.value') END AS "number",
  json_extract(v.value, '$.unit') AS "unit",
  nullif(trim((CASE WHEN json_extract(v.value, '$.limits.nominal') IS NOT NULL THEN json_extract(v.value, '$.limits.nominal') || coalesce(' +/- ' || json_extract(v.value, '$.limits.tol'), '') WHEN json_extract(v.value, '$.limits.low') IS NOT NULL AND json_extract(v.value, '$.limits.high') IS NOT NULL THEN json_extract(v.value, '$.limits.low') || ' to ' || json_extract(v.value, '$.limits.high') WHEN json_extract(v.value, '$.limits.low') IS NOT NULL THEN 'min ' || json_extract(v.value, '$.limits.low') WHEN json_extract(v.value, '$.limits.high') IS NOT NULL THEN 'max ' || json_extract(v.value, '$.limits.high') ELSE '' END || coalesce(' ' || json_extract(v.value, '$.limits.unit'), '')) || (CASE WHEN json_extract(v.value, '$.limits.spread') IS NULL THEN '' ELSE iif((CASE WHEN json_extract(v.value, '$.limits.nominal') IS NOT NULL THEN json_extract(v.value, '$.limits.nominal') || coalesce(' +/- ' || json_extract(v.value, '$.limits.tol'), '') WHEN json_extract(v.value, '$.limits.low') IS NOT NULL AND json_extract(v.value, '$.limits.high') IS NOT NULL THEN json_extract(v.value, '$.limits.low') || ' to ' || json_extract(v.value, '$.limits.high') WHEN json_extract(v.value, '$.limits.low') IS NOT NULL THEN 'min ' || json_extract(v.value, '$.limits.low') WHEN json_extract(v.value, '$.limits.high') IS NOT NULL THEN 'max ' || json_extract(v.value, '$.limits.high') ELSE '' END || coalesce(' ' || json_extract(v.value, '$.limits.unit'), '')) = '', '', ', ') || 'spread ' || json_extract(v.value, '$.limits.spread') || coalesce(' ' || json_extract(v.value, '$.limits.spread_unit'), '') END) || coalesce(' per ' || json_extract(v.value, '$.limits.source'), '')), '') AS "limits"
FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id JOIN json_each(e.data, '$.measurements') AS v WHERE e.kind IN ('found', 'proof') AND e.struck = 0;
