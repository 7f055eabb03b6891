-- An LED strobe: whether it flashes at all, whether its flash shows the bars of a ring, whether the ring fits, what the LED bears
-- and whether its lens keeps the mains in.
-- Its count of bars against the speed, and how often it stands still.
local function ring(found, jig, part, seen)
  if seen.off == nil then return end
  local bars, rpm = jig.settings.bars, jig.settings.rpm
  local most, _, source = limit("ring-count")
  if math.abs(seen.off) > most then
    table.insert(found, notice{
      check = "ring-count",
      message = string.format("a ring of %d bars stands still at %.2f turns a minute under %.0f flashes a second, %.1f %% off the %.2f it is for",
        bars, seen.still, seen.flashes, 100 * seen.off, rpm),
      remedy = string.format("use a ring of %d bars, or say which ring it is in [plugin.led-strobe] of the jig file", seen.best),
      parts = { part.name }, condition = "mains nominal",
      quantity = "error of speed", value = math.abs(seen.off), limit = most, source = source,
    })
  elseif seen.whole >= 2 then
    table.insert(found, notice{
      check = "ring-ambiguous",
      message = string.format("the ring of %d bars moves on by %d bars between two flashes (%.0f a second), so it stands still at %.1f and %.1f turns a minute as well as at %.1f",
        bars, seen.whole, seen.flashes, rpm * (seen.whole - 1) / seen.whole, rpm * (seen.whole + 1) / seen.whole, rpm),
      remedy = string.format("light the ring on both half-waves of the mains, or use one of %d bars", seen.best),
      parts = { part.name }, condition = "mains nominal",
      quantity = "bars a flash", value = seen.advance,
    })
  end
end

-- Every way the switches can stand; past what can be tried, the rest stands on.
local function settings(jig)
  local list = { {} }
  for _, switch in jig:parts("switch") do
    local longer = {}
    for _, set in list do
      for _, position in switch.positions do
        local one = table.clone(set)
        one[switch.name] = position.name
        table.insert(longer, one)
      end
    end
    if #longer <= 32 then list = longer end
  end
  return list
end

-- The light of these lamps together, as the strobe of the core has it.
local function light(jig, names, supply, set)
  return jig:ring{ lamps = names, supply = supply, switches = set, bars = jig.settings.bars, rpm = jig.settings.rpm }
end

-- How far the bars move in one flash, taken as a rectangle of the same light and the same crest.
local function flash(found, jig, part, seen)
  if seen.mean <= 0 then return end
  if seen.filled >= limit("no-flash") then
    table.insert(found, notice{
      check = "no-flash",
      message = string.format("%s never goes dark: its mean current is %.0f %% of the crest, so no bar ever stands still", part.name, 100 * seen.filled),
      remedy = "take out what smooths the current, or feed the LED from the rectifier without a capacitor across it",
      parts = { part.name }, condition = "mains nominal", quantity = "mean over crest", value = seen.filled,
    })
    return
  end
  if seen.flashes <= 0 then return end
  -- Where the ring is not known, one that moves on by one bar a flash.
  local pitches = seen.filled * (seen.advance or 1)
  if pitches > limit("flash-width") then
    table.insert(found, notice{
      check = "flash-width",
      message = string.format("the bars move %.2f of their pitch in one flash of %s: they smear into the gaps", pitches, part.name),
      remedy = "shorten the flash with more LEDs or a zener diode in series, or use a ring that moves one bar a flash",
      parts = { part.name }, condition = "mains nominal", quantity = "pitches a flash", value = pitches,
    })
  end
  ring(found, jig, part, seen)
end

-- What runs through an LED twice a cycle for good, on nominal mains: it fades by it.
local function crest(found, jig, part)
  local peak = jig:stress(part.name, "current_peak", "normal")
  if peak == nil or part.current == nil then return end
  local amperes = peak.nominal or peak.value
  local times, most = amperes / part.current, limit("lasting-crest")
  if times <= most then return end
  table.insert(found, notice{
    check = "lasting-crest",
    message = string.format("%s of crest run through %s every half-wave, %.1f times its mean rating; the printed peak holds for a tenth of a millisecond only",
      format(amperes, "A"), part.name, times),
    remedy = string.format("raise the dropping impedance until the crest is below %s", format(part.current * most, "A")),
    parts = { part.name }, condition = "mains nominal", quantity = "crest over mean rating", value = times,
  })
end

local function dim(found, jig, part, names, set)
  local seen, least = light(jig, names, "low", set), limit("dim")
  if seen.mean >= least then return end
  local lights = math.max(seen.mean, seen.crest) > least / 100
  table.insert(found, notice{
    check = "dim",
    message = string.format("%s gets %s on the lowest mains: too little to see bars by", part.name, format(seen.mean, "A")),
    remedy = if lights then string.format("lower the dropping impedance until at least %s flow, or take LEDs out of the string", format(least, "A"))
      else "look which way round it stands, and whether anything feeds it",
    parts = { part.name }, condition = "mains low", quantity = "mean current", value = seen.mean,
  })
end

local function lens(found, jig, part, mains)
  if jig.settings.lens ~= "through the panel" then return end
  local live = false
  for _, net in part.nets do live = live or mains[net] end
  if not live then return end
  table.insert(found, warning{
    check = "bare-lens",
    message = part.name .. " looks out of the panel and nothing that counts keeps the mains off it: the clear body of an LED is no insulation, and its wires end a few millimetres behind it",
    remedy = "set it behind a closed window of clear plastic, with the distances of reinforced insulation to the outside, or feed it from a transformer or module whose windings are kept apart by double or reinforced insulation",
    parts = { part.name }, condition = "mains as wired or the other way round",
  })
end

-- Whether the insulation between its windings keeps the mains off a hand, with one fault, too.
local function strong(transformer)
  return transformer.insulation == "double" or transformer.insulation == "reinforced"
end

-- Nets on the mains, those behind a power supply or a transformer that keeps too little apart among them. Earth is a place where it
-- ends.
local function on_mains(jig)
  local earth = jig:reach{ from = "PE" }
  local from = {}
  for _, net in jig:nets() do
    if net.mains then from[net.name] = true end
  end
  local live, grows = {}, true
  while grows do
    live, grows = jig:reach{ from = from, through = "anything", stop_at = earth }, false
    local function passes(input, output)
      if not (live[input[1]] or live[input[2]]) then return end
      for _, net in output do
        if not live[net] then from[net], grows = true, true end
      end
    end
    for _, part in jig:parts("psu") do
      if not part.selv then passes(part.input, part.output) end
    end
    for _, part in jig:parts("transformer") do
      if strong(part) then continue end
      for _, secondary in part.secondaries do passes(part.primary.across, secondary.across) end
    end
  end
  return live
end

return {
  check = function(jig)
    local found = {}
    local word = jig.settings.lens
    if word ~= "behind a window" and word ~= "through the panel" then
      error('[plugin.led-strobe] lens is "behind a window" or "through the panel", not "' .. word .. '"')
    end
    local mains = on_mains(jig)
    if #jig:parts("led") == 0 then
      table.insert(found, notice{
        check = "other-lamp", message = "no led is in the file, so nothing of its flash was judged",
        remedy = "write unit = \"strobe-lamp\" where the lamp is a part of kind \"neon-lamp\", or add the lamp", condition = "as written",
      })
    end
    local leds = jig:parts("led")
    for _, part in leds do lens(found, jig, part, mains) end
    if #leds == 0 or not jig.supply.mains then return found end
    local every = {}
    for _, part in leds do table.insert(every, part.name) end
    -- The setting that gives most light is the one it is used in.
    local best, at
    for _, set in settings(jig) do
      local seen = light(jig, every, "nominal", set)
      if best == nil or seen.mean > best.mean then best, at = seen, set end
    end
    local parts = jig:solve{ supply = "nominal", switches = at }.parts
    local most, first, names = 0, leds[1], {}
    for _, part in leds do
      local mean = parts[part.name].current_mean
      if mean > most then most, first = mean, part end
    end
    for _, part in leds do
      -- What gets much less than the brightest tells that the box is on.
      if parts[part.name].current_mean >= jig.settings.pilot * most then table.insert(names, part.name) end
      crest(found, jig, part)
    end
    flash(found, jig, first, if #names == #every then best else light(jig, names, "nominal", at))
    dim(found, jig, first, names, at)
    return found
  end,
}
