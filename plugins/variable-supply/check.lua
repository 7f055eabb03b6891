-- A variable supply, a transformer with a brush in a box: one with a shared winding isolates nothing; the brush needs a fuse of its
-- own; the travel goes above the mains.

-- What leaves a short-circuit current as large as it is, or opens by heat alone: contacts, meter shunts, chokes, thermal fuses,
-- rectifiers.
local OPEN = { "wire", "switch", "resistor", "inductor", "winding", "thermistor", "thermal-fuse", "diode", "bridge" }

-- The windings with a brush: those that share a net with their primary; where there is none, those that are apart from it.
-- Each with its free ends, and with the nets of its other end.
local function dials(jig)
  local shared, apart = {}, {}
  for _, part in jig:parts("transformer") do
    local primary = jig:reach{ from = part.primary.across, through = { "wire", "switch" } }
    for _, secondary in part.secondaries do
      local dial = { part = part, secondary = secondary, ends = {}, common = {} }
      for _, net in secondary.across do
        if primary[net] then dial.common = jig:reach{ from = net, through = { "wire", "switch", "fuse", "thermal-fuse" } } else table.insert(dial.ends, net) end
      end
      table.insert(if #dial.ends < 2 then shared else apart, dial)
    end
  end
  return if #shared > 0 then shared else apart
end

local function apart(found, jig, dial)
  local part, live = dial.part, false
  for _, outlet in jig:outlets() do live = live or not outlet.isolated end
  local mains = {}
  for _, net in jig:nets() do mains[net.name] = net.mains end
  if jig.settings.marked or #dial.ends > 1 or not live or not mains[part.primary.across[1]] then return end
  local either = if jig.supply.live_pin_assured then "" else "; with this plug either side of it can be the live one"
  table.insert(found, notice{
    check = "not-isolated",
    message = string.format("%s shares a winding with the mains: at any setting, zero too, a hand on the outlet and one on earth can get the whole mains%s", part.name, either),
    remedy = "write \"not isolated\" beside the dial and set [plugin.variable-supply] marked = true; for work on live sets put an isolating transformer before it",
    parts = { part.name }, condition = "any setting of the dial",
  })
end

-- What is fed without a fuse from an end of the winding: the name and line of an outlet, or of another transformer.
local function unfused(jig, dial, bare)
  local function hit(nets)
    for _, net in nets do
      if bare[net] and not dial.common[net] then return true end
    end
    return false
  end
  for _, outlet in jig:outlets() do
    if hit(outlet.across) then return outlet end
  end
  for _, other in jig:parts("transformer") do
    if other ~= dial.part and hit(other.primary.across) then return other end
  end
  return nil
end

local function fused(found, jig, dial)
  local part, secondary, rating = dial.part, dial.secondary, nil
  if part.power then rating = part.power / secondary.volts end
  local most, _, source = limit("brush-fuse")
  local bare, fed = {}, nil
  for k, net in dial.ends do
    local here = jig:reach{ from = net, through = OPEN }
    for name in here do bare[name] = true end
    local new = unfused(jig, dial, here)
    -- Of windings that are apart a fuse at one end guards the other.
    fed = if k == 1 then new else fed and new
  end
  if fed then
    table.insert(found, warning{
      check = "no-brush-fuse",
      message = string.format("no fuse stands between the brush of %s and %s: turned low, a short there burns the few turns under the brush while the fuse before the transformer sees next to nothing", part.name, fed.name),
      remedy = if rating then string.format("put a fuse of at most %s between the brush and %s", format(rating * most, "A"), fed.name) else "put a fuse of the brush's rating behind the brush",
      parts = { part.name }, nets = { dial.ends[1] }, line = fed.line, condition = "dial low, " .. fed.name .. " shorted",
    })
  end
  if rating == nil then
    table.insert(found, caution{
      check = "brush-rating-unknown",
      message = part.name .. " does not state its power, so what its brush may carry is not known",
      remedy = "write power = \"500 VA\" as its plate says; the brush carries that over the highest volts of the dial",
      parts = { part.name }, condition = "as written",
    })
    return
  end
  -- Of branches behind one brush the one with the largest fuse counts; of fuses at both ends the smaller.
  local guard
  for _, fuse in jig:parts("fuse") do
    local a, b = fuse.across[1], fuse.across[2]
    local behind = bare[a] and not dial.common[a] or bare[b] and not dial.common[b]
    if behind and (guard == nil or #dial.ends == 1 and fuse.current > guard.current or #dial.ends > 1 and fuse.current < guard.current) then guard = fuse end
  end
  if guard and guard.current / rating > most then
    table.insert(found, warning{
      check = "brush-fuse",
      message = string.format("%s of %s guards a brush that bears %s (%s at %s): it burns its track before the fuse opens, at every setting of the dial",
        guard.name, format(guard.current, "A"), format(rating, "A"), format(part.power, "VA"), format(secondary.volts, "V")),
      remedy = string.format("fit a fuse of at most %s", format(rating * most, "A")),
      parts = { guard.name, part.name }, condition = "any setting of the dial", quantity = "fuse over brush rating", value = guard.current / rating, source = source,
    })
  end
end

local function travel(found, jig, dial)
  local part = dial.part
  local times, most = dial.secondary.volts / part.primary.volts, limit("travel")
  if times <= most then return end
  table.insert(found, caution{
    check = "travel",
    message = string.format("turned up the outlet has %s, %.0f %% of the mains, and %s on high mains: a slip of the hand kills what is on it",
      format(times * jig.supply.nominal, "V"), 100 * times, format(times * jig.supply.high, "V")),
    remedy = string.format("set the stop of the dial at %s, or feed the winding at a higher tap", format(math.floor(part.primary.volts * most), "V")),
    parts = { part.name }, condition = "mains nominal, dial at its end", quantity = "outlet over mains", value = times,
  })
end

-- The magnetising rush of a ring core is many times its running current: only a slow fuse stands it.
local function rush(found, jig, part)
  local quick, word = {}, nil
  for _, net in part.primary.across do
    local near = jig:reach{ from = net, through = { "wire", "switch" } }
    for _, fuse in jig:parts("fuse") do
      local a, b = fuse.across[1], fuse.across[2]
      local far = if near[a] then b elseif near[b] then a else nil
      if far == nil or not string.match(string.upper(fuse.speed or ""), "^F") then continue end
      -- A fuse that leads to an outlet carries no magnetising current.
      local on, outward = jig:reach{ from = far, through = OPEN }, false
      for _, outlet in jig:outlets() do outward = outward or on[outlet.across[1]] or on[outlet.across[2]] end
      if not outward and not table.find(quick, fuse.name) then
        table.insert(quick, fuse.name)
        word = fuse.speed
      end
    end
  end
  if #quick == 0 then return end
  table.insert(found, notice{
    check = "quick-fuse",
    message = string.format("%s before %s: a quick fuse (%s) blows now and then by the rush of a ring core at switch-on, and sooner or later someone fits a larger one", table.concat(quick, " and "), part.name, word),
    remedy = "fit slow fuses (T) of the same size",
    parts = quick, condition = "switched on near the zero of the mains",
  })
end

return {
  check = function(jig)
    local found, list = {}, dials(jig)
    if #list == 0 or #jig:outlets() == 0 then
      table.insert(found, caution{
        check = "no-dial",
        message = if #list == 0 then "the file states no transformer, so nothing of a dial and its brush was judged" else "the file states no outlet, so what the brush feeds is not known",
        remedy = "write the variable transformer as a part of kind \"transformer\", its secondary with the highest volts of the dial, and the [[outlet]] it feeds", condition = "as written",
      })
    end
    for _, dial in list do
      apart(found, jig, dial)
      fused(found, jig, dial)
      travel(found, jig, dial)
      rush(found, jig, dial.part)
    end
    return found
  end,
}
