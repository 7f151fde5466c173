using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Simulation.Devices;
using Xunit;

namespace NetAudit.Tests.Simulation.Devices;

/// <summary>Partial derivatives of every semiconductor against central differences of its currents.</summary>
public unsafe class DeviceJacobianTests
{
    public static TheoryData<string> Devices => [.. All.Keys];

    private static Dictionary<string, NonlinearDevice> All =>
        new()
        {
            ["diode"] = new DiodeModel(Card("d", ("is", 1e-9), ("n", 1.8)), 2, 27),
            ["zener"] = new DiodeModel(Card("d", ("bv", 1.2), ("ibv", 1e-3)), 1, 60),
            ["npn"] = new BipolarModel(
                Card(
                    "npn",
                    ("is", 1e-14),
                    ("bf", 150),
                    ("br", 3),
                    ("vaf", 60),
                    ("var", 9),
                    ("ikf", 1e-3),
                    ("ikr", 2e-3),
                    ("ise", 1e-13),
                    ("ne", 1.6),
                    ("isc", 1e-12),
                    ("nc", 1.8),
                    ("rb", 90),
                    ("rbm", 12)
                ),
                1.5,
                40
            ),
            ["pnp with base current crowding"] = new BipolarModel(
                Card("pnp", ("is", 1e-13), ("vaf", 40), ("rb", 200), ("rbm", 20), ("irb", 1e-5)),
                1,
                27
            ),
            ["npn without resistances"] = new BipolarModel(Card("npn"), 1, 27),
            ["njf"] = new JunctionFetModel(
                Card("njf", ("vto", -1.1), ("beta", 2e-3), ("lambda", 0.02), ("b", 0.7)),
                1,
                27
            ),
            ["pjf"] = new JunctionFetModel(Card("pjf", ("vto", -0.8), ("lambda", 0.01)), 2, 27),
            ["nmos"] = new MosFetModel(
                Card("nmos", ("vto", 0.3), ("kp", 1e-3), ("gamma", 0.4), ("lambda", 0.03)),
                2e-6,
                10e-6,
                1,
                27
            ),
            ["pmos"] = new MosFetModel(
                Card("pmos", ("vto", -0.2), ("gamma", 0.6), ("phi", 0.7)),
                1e-6,
                5e-6,
                2,
                50
            ),
        };

    [Theory]
    [MemberData(nameof(Devices))]
    public void Evaluate_RandomVoltages_PartialsAreTheSlopesOfTheFlows(string name)
    {
        var device = All[name];
        var random = new Random(7);
        var inputs = new double[4];
        var (flows, partials) = (new double[4], new double[11]);
        var (up, down) = (new double[4], new double[4]);
        for (var trial = 0; trial < 400; trial++)
        {
            for (var i = 0; i < 4; i++)
            {
                inputs[i] = 3 * random.NextDouble() - 1.5;
            }
            if (name.Contains("pn"))
            {
                // The outer base near the inner one, or the base resistance drowns everything.
                inputs[3] = inputs[1] + 0.01 * random.NextDouble();
            }
            Evaluate(device, inputs, flows, partials);
            const double Step = 1e-6;
            for (var k = 0; k < device.Partials.Length; k++)
            {
                var (flow, input) = device.Partials[k];
                var at = inputs[input];
                inputs[input] = at + Step;
                Evaluate(device, inputs, up, new double[11]);
                inputs[input] = at - Step;
                Evaluate(device, inputs, down, new double[11]);
                inputs[input] = at;
                var expected = (up[flow] - down[flow]) / (2 * Step);
                var scale = Math.Abs(expected) + Math.Abs(flows[flow]);
                Assert.True(
                    Math.Abs(expected - partials[k]) < 2e-5 * scale + 1e-10,
                    $"d(flow {flow})/d(input {input}): {partials[k]:g8} against {expected:g8} at {string.Join(' ', inputs)}"
                );
            }
        }
    }

    private static void Evaluate(
        NonlinearDevice device,
        double[] inputs,
        double[] flows,
        double[] partials
    )
    {
        var junctions = new double[2];
        fixed (
            double* i = inputs,
                f = flows,
                p = partials,
                j = junctions
        )
        {
            var frame = new DeviceFrame
            {
                Inputs = i,
                Flows = f,
                Partials = p,
                OldJunctions = j,
                NewJunctions = j,
                Strength = 1,
                Gain = 1,
                JunctionLeakage = 1e-12,
            };
            device.Evaluate(ref frame);
        }
    }

    private static DeviceModel Card(string kind, params (string, double)[] parameters) =>
        new(
            "M",
            kind,
            parameters.ToImmutableDictionary(pair => pair.Item1, pair => pair.Item2),
            default
        );
}
