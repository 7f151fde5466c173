namespace NetAudit.Benchmarks.TubeFits;

internal static class FitTubesCommand
{
    public static int Run(string? folder)
    {
        var data = ReferenceData.Load();
        if (folder is not null)
        {
            var lib = TubeLibrary.Fit(data);
            File.WriteAllText(folder + "/tubes.lib", lib.Text(data));
        }
        foreach (var type in (string[])["12AX7", "12AU7", "12AT7", "12AY7"])
        {
            var tube = TriodeFit.Fit(data, type);
            Console.WriteLine(type + " " + tube);
            foreach (
                var p in data
                    .Points.Where(p => p.Type == type)
                    .DistinctBy(p => (p.Plate, p.Grid, p.PlateOhms))
            )
                Console.WriteLine(
                    $"  {p.Plate} {p.Grid}: {p.PlateAmps * 1e3:F3} {tube.PlateAmps(p.Plate, p.Grid!.Value) * 1e3:F3} gm {p.Transconductance * 1e3:F2} {TriodeFit.Slope(tube, p.Plate, p.Grid!.Value) * 1e3:F2} ra {p.PlateOhms} {1 / TriodeFit.PlateSlope(tube, p.Plate, p.Grid!.Value):F0}"
                );
            var c = data.Curves.Where(c => c.Type == type && c.PlateAmps >= 0.2e-3).ToArray();
            if (c.Length > 0)
                Console.WriteLine(
                    $"  rms {Math.Sqrt(c.Average(p => Math.Pow(tube.PlateAmps(p.Plate, p.Grid) / p.PlateAmps - 1, 2))) * 100:F2}% n={c.Length}"
                );
            foreach (var p in c)
            {
                var e = tube.PlateAmps(p.Plate, p.Grid) / p.PlateAmps - 1;
                if (Math.Abs(e) > 0.08)
                    Console.WriteLine(
                        $"    {p.Plate} {p.Grid} {p.PlateAmps * 1e3:F3} {e * 100:F1}%"
                    );
            }
            foreach (var s in data.Stages.Where(s => s.Type == type))
                Console.WriteLine(
                    $"  rc {s.Supply} {s.PlateOhms} {s.CathodeOhms} {s.PlateAmps * 1e3:F3} {(TriodeFit.StageAmps(tube, s) / s.PlateAmps - 1) * 100:F1}%"
                );
        }
        foreach (var type in (string[])["EL84", "EL34", "6V6GT", "6L6GC", "KT88", "6550", "EF86"])
        {
            var tube = PentodeFit.Fit(data, type);
            Console.WriteLine(type + " " + tube);
            foreach (var p in data.Points.Where(p => p.Type == type))
            {
                double va = p.Plate,
                    vg2 = p.Screen!.Value,
                    vg = p.Grid ?? 0,
                    ip = 0,
                    is2 = 0;
                for (int i = 0; i < 3000; i++)
                {
                    double vk = (p.Grid is null ? 1 : 0) * (ip + is2) * p.CathodeOhms;
                    double gs = p.Grid ?? -vk;
                    double sc = vg2 - is2 * p.ScreenFeedOhms - vk;
                    double a = tube.PlateAmps(va - vk, gs, sc),
                        b = tube.ScreenAmps(va - vk, gs, sc);
                    ip += 0.02 * (a - ip);
                    is2 += 0.02 * (b - is2);
                }
                Console.WriteLine(
                    $"  {p.Role} {va}/{vg2}/{vg} Rk {p.CathodeOhms}: Ia {p.PlateAmps * 1e3:F1} {ip * 1e3:F2}  Ig2 {p.ScreenAmps * 1e3:F2} {is2 * 1e3:F2} gm {p.Transconductance * 1e3:F2} {PentodeFit.Slope(tube, va, vg, vg2) * 1e3:F2} ra {p.PlateOhms} {1 / PentodeFit.PlateSlope(tube, va, vg, vg2):F0}"
                );
                if (p.LoadOhms is { } rl && p.OutputWatts is { } po)
                {
                    var sw = Math.Sqrt(2 * po * rl);
                    var pl = Math.Max(va - sw, .06 * va);
                    Console.WriteLine(
                        $"     knee {pl:F0} V: {(p.PlateAmps + sw / rl) * 1e3:F0} {tube.PlateAmps(pl, -.5, vg2) * 1e3:F0}"
                    );
                }
            }
        }
        return 0;
    }
}
