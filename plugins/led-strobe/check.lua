-- An LED strobe: whether it flashes at all, whether its flash shows the bars of a ring, whether the ring fits, what the LED bears
-- and whether its lens keeps the mains in.
-- What a ring of bars shows under so many flashes a second: its count against the speed, and how often it stands still.
local function ring(found, jig, part, flash)
  local bars, rpm = jig.settings.bars, jig.settings.rpm
  if bars <= 0 or rpm <= 0 or flash <= 0 then return end
  local seen = jig:ring(bars, rpm, flash)
  local most, _, source = limit("ring-count")
  if math.abs(seen.off) > most then
    table.insert(found, notice{
      check = "ring-count",
      message = string.format("a ring of %d bars stands still at %.2f turns a minute under %.0f flashes a second, %.1f %% off the %.2f it is for",
        bars, seen.still, flash, 100 * seen.off, rpm),
      remedy = string.format("use a ring of %d bars, or say which ring it is in [plugin.led-strobe] of the jig file", seen.best),
      parts = { part.name }, condition = "mains nominal",
      quantity = "error of speed", value = math.abs(seen.off), limit = most, source = source,
    })
  elseif seen.whole >= 2 then
    table.insert(found, notice{
      check = "ring-ambiguous",
      message = string.format("the ring of %d bars moves on by %d bars between two flashes (%.0f a second), so it stands still at %.1f and %.1f turns a minute as well as at %.1f",
        bars, seen.whole, flash, rpm * (seen.whole - 1) / seen.whole, rpm * (seen.whole + 1) / seen.whole, rpm),
      remedy = string.format("light the ring on both half-waves of the mains, or use one of %d bars", seen.best),
      parts = { part.name }, condition = "mains nominal",
      quantity = "bars a flash", value = seen.advance,
    })
  end
end

-- The LED that stands the other way round beside this one and flashes in the other half-wave.
local function partner(jig, part)
  for _, other in jig:parts("led") do
    if other.across[1] == part.across[2] and other.across[2] == part.across[1] then return other end
  end
  return nil
end

-- How far the bars move in one flash, taken as a rectangle of the same light and the same crest.
local function flash(found, jig, part, lamp, state)
  local amperes = state.parts[part.name]
  if amperes.current_peak <= 0 then return end
  local filled = amperes.current_mean / amperes.current_peak
  local per_cycle = if lamp and lamp.flashes_per_second > 0 then lamp.flashes_per_second / jig.supply.frequency else 1
  local most = limit("no-flash")
  if filled >= most then
    table.insert(found, notice{
      check = "no-flash",
      message = string.format("%s never goes dark: its mean current is %.0f %% of the crest, so no bar ever stands still", part.name, 100 * filled),
      remedy = "take out what smooths the current, or feed the LED from the rectifier without a capacitor across it",
      parts = { part.name }, condition = "mains nominal", quantity = "mean over crest", value = filled,
    })
    return
  end
  local own = per_cycle * jig.supply.frequency
  local rate = if partner(jig, part) then 2 * own else own
  local bars, rpm = jig.settings.bars, jig.settings.rpm
  local seconds = filled / own
  local pitches = seconds * (if bars > 0 then rpm * bars / 60 else rate)
  if pitches > limit("flash-width") then
    table.insert(found, notice{
      check = "flash-width",
      message = string.format("the bars move %.2f of their pitch in one flash of %s: they smear into the gaps", pitches, part.name),
      remedy = "shorten the flash with more LEDs or a zener diode in series, or use a ring that moves one bar a flash",
      parts = { part.name }, condition = "mains nominal", quantity = "pitches a flash", value = pitches,
    })
  end
  ring(found, jig, part, rate)
end

local function crest(found, jig, part)
  local peak = jig:stress(part.name, "current_peak", "normal")
  if peak == nil or part.current == nil then return end
  local times, most = peak.value / part.current, limit("lasting-crest")
  if times <= most then return end
  table.insert(found, notice{
    check = "lasting-crest",
    message = string.format("%s of crest run through %s every half-wave, %.1f times its mean rating; the printed peak holds for a tenth of a millisecond only",
      format(peak.value, "A"), part.name, times),
    remedy = string.format("raise the dropping impedance until the crest is below %s", format(part.current * most, "A")),
    parts = { part.name }, condition = peak.condition, quantity = "crest over mean rating", value = times,
  })
end

local function dim(found, jig, part)
  local parts, other, least = jig:solve{ supply = "low" }.parts, partner(jig, part), limit("dim")
  local mean = parts[part.name].current_mean + (if other then parts[other.name].current_mean else 0)
  if mean >= least then return end
  local lights = mean > 0 and parts[part.name].current_peak > least / 100
  table.insert(found, notice{
    check = "dim",
    message = string.format("%s gets %s on the lowest mains: too little to see bars by", part.name, format(mean, "A")),
    remedy = if lights then string.format("lower the dropping impedance until at least %s flow, or take LEDs out of the string", format(least, "A"))
      else "look which way round it stands, and whether anything feeds it",
    parts = { part.name }, condition = "mains low", quantity = "mean current", value = mean,
  })
end

local function lens(found, jig, part, mains)
  if jig.settings.lens ~= "through the panel" then return end
  local live = false
  for _, net in part.nets do live = live or mains[net] end
  if not live then return end
  table.insert(found, warning{
    check = "bare-lens",
    message = part.name .. " looks out of the panel and is joined to the mains: the clear body of an LED is no insulation, and its wires end a few millimetres behind it",
    remedy = "set it behind a closed window of clear plastic, with the distances of reinforced insulation to the outside",
    parts = { part.name }, condition = "mains as wired or the other way round",
  })
end

-- Nets on the mains, those behind a power supply that keeps nothing apart among them.
local function on_mains(jig)
  local from = {}
  for _, net in jig:nets() do
    if net.mains then from[net.name] = true end
  end
  for _, part in jig:parts("psu") do
    if not part.selv then
      for _, net in part.output do from[net] = true end
    end
  end
  return jig:reach{ from = from, through = "anything" }
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
    local state = #leds > 0 and jig.supply.mains and jig:solve{ supply = "nominal" }
    local most, paired = 0, {}
    for _, part in leds do
      if state then most = math.max(most, state.parts[part.name].current_mean) end
    end
    for _, part in leds do
      lens(found, jig, part, mains)
      if not state then continue end
      crest(found, jig, part)
      -- Of two that flash in turn one speaks for both; what gets much less than the brightest tells that the box is on.
      local other = partner(jig, part)
      local pilot = state.parts[part.name].current_mean < jig.settings.pilot * most
      if pilot or paired[part.name] then continue end
      if other then paired[other.name] = true end
      flash(found, jig, part, jig:lamp(part.name), state)
      dim(found, jig, part)
    end
    return found
  end,
}
