-- A neon strobe lamp: whether its flash shows the bars of a ring, whether the ring fits, whether it lights and stays lit in a
-- dark room, and what lies in the hand.
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
      remedy = string.format("use a ring of %d bars, or say which ring it is in [plugin.strobe-lamp] of the jig file", seen.best),
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

local function width(found, jig, part, seen)
  -- Where the ring is not known, one that moves on by one bar a flash.
  local pitches, most = seen.bright * seen.flashes * (seen.advance or 1), limit("flash-width")
  if pitches <= most then return end
  table.insert(found, notice{
    check = "flash-width",
    message = string.format("the bars move %.2f of their pitch while the lamp is bright (%s): they smear into the gaps", pitches, format(seen.bright, "s")),
    remedy = "use a lamp that goes out at higher volts, or a ring that moves one bar a flash",
    parts = { part.name }, condition = "mains nominal", quantity = "pitches a flash", value = pitches,
  })
end

local function strike(found, jig, part, lamp)
  local least = limit("dark-strike")
  if not jig.settings.dark or lamp.strike_margin == nil or lamp.strike_margin >= least then return end
  table.insert(found, notice{
    check = "dark-strike",
    message = string.format("on the lowest mains %s has %.2f times the volts that strike it; in the dark, where a strobe is used, it starts late or not at all", part.name, lamp.strike_margin),
    remedy = string.format("use a lamp that strikes at %s or less, or let a little light fall on it; [plugin.strobe-lamp] dark = false if it always stands in room light",
      format(math.sqrt(2) * jig.supply.low / least, "V")),
    parts = { part.name }, condition = "mains low, before the lamp strikes", quantity = "crest over strike volts", value = lamp.strike_margin,
  })
end

local function glow(found, jig, part)
  if part.current == nil then return end
  local flows = jig:solve{ supply = "low" }.parts[part.name].current_rms
  local share, least = flows / part.current, limit("steady-glow")
  if share >= least then return end
  table.insert(found, caution{
    check = "steady-glow",
    message = string.format("%s runs on %s, %.0f %% of its design current: the glow wanders and flickers, where a strobe must be steady, and slow flicker can bring on a seizure",
      part.name, format(flows, "A"), 100 * share),
    remedy = string.format("lower the dropping resistance to about %.0f %% of what it is", 100 * share),
    parts = { part.name }, condition = "mains low", quantity = "share of the design current", value = share,
  })
end

local function hand(found, jig)
  if jig.use ~= "hand-held" then return end
  local box = jig.enclosure
  if box.material == "insulating" and box.class ~= "I" then return end
  local what = if box.material == "insulating" then "a wand of class I" else "a wand with a tube of " .. (box.material or "unknown material")
  table.insert(found, caution{
    check = "hand-held-tube",
    message = what .. " lies in the hand and hangs on a cord that is bent all day: one broken core or crushed joint is all there is between the hand and the mains",
    remedy = "use a closed tube of insulating material, class II",
    condition = "as built",
  })
end

return {
  check = function(jig)
    local found = {}
    hand(found, jig)
    if #jig:parts("neon-lamp") == 0 then
      table.insert(found, notice{
        check = "other-lamp", message = "no neon-lamp is in the file, so nothing of its flash was judged",
        remedy = "write unit = \"led-strobe\" where the lamp is a part of kind \"led\", or add the lamp", condition = "as written",
      })
    end
    local lamps = jig:parts("neon-lamp")
    if #lamps == 0 or not jig.supply.mains then return found end
    local state, most, first, names = jig:solve{ supply = "nominal" }, 0, lamps[1], {}
    for _, part in lamps do
      local flows = state.parts[part.name].current_rms
      if flows > most then most, first = flows, part end
    end
    for _, part in lamps do
      -- What is lit and gets much less than the brightest tells that the tool is on; what is dark was to be lit.
      local flows, lamp = state.parts[part.name].current_rms, jig:lamp(part.name)
      if lamp and (lamp.flashes_per_second <= 0 or flows >= jig.settings.pilot * most) then
        strike(found, jig, part, lamp)
        if lamp.flashes_per_second > 0 then
          glow(found, jig, part)
          table.insert(names, part.name)
        end
      end
    end
    if #names > 0 then
      -- The glow of all lamps together, as the strobe of the core has it.
      local seen = jig:ring{ lamps = names, bars = jig.settings.bars, rpm = jig.settings.rpm }
      if seen.flashes > 0 then
        if seen.bright then width(found, jig, first, seen) end
        ring(found, jig, first, seen)
      end
    end
    return found
  end,
}
