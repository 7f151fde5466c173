using CsCheck;
using NetAudit.Simulation;
using NetAudit.Simulation.Sparse;
using Xunit;

namespace NetAudit.Tests.Simulation.Sparse;

/// <summary>Sparse factors must solve what they were made of, in both directions.</summary>
public unsafe class EliminationProgramTests
{
    [Fact]
    public void Solve_RandomMatrices_LeavesNoResidual() =>
        Gen.Select(Gen.Int[1, 40], Gen.Int[0, 3], Gen.Int[0, int.MaxValue])
            .Sample((size, density, seed) => Check(size, density, new Random(seed)));

    private static void Check(int size, int density, Random random)
    {
        var dense = new double[size, size];
        var entries = new List<long>();
        var isStatic = new bool[size];
        for (var i = 0; i < size; i++)
        {
            isStatic[i] = random.Next(2) == 0;
            dense[i, i] = 4 * density + 1 + random.NextDouble();
            entries.Add(SparsePattern.Entry(i, i));
            for (var k = 0; k < density; k++)
            {
                var j = random.Next(size);
                if (j != i)
                {
                    dense[i, j] = 2 * random.NextDouble() - 1;
                    entries.Add(SparsePattern.Entry(i, j));
                }
            }
        }
        var pattern = SparsePattern.FromEntries(size, [.. entries]);
        var order = MinimumDegree.Order(pattern, [.. Enumerable.Range(0, size)], isStatic);
        var program = new EliminationProgram(pattern, order);
        var values = new double[program.ValueCount];
        for (var i = 0; i < size; i++)
        {
            foreach (var j in pattern.Row(i))
            {
                values[program.Slot(i, j)] = dense[i, j];
            }
        }
        var b = Enumerable.Range(0, size).Select(_ => random.NextDouble() - 0.5).ToArray();
        var (x, work, inverse) = (new double[size], new double[size], new double[size]);
        var lanes = new LaneMemory();
        var sides = lanes.Reserve(4 * size);
        var sideOf = (int i, int lane) => ((double*)(sides + i))[lane];
        for (var i = 0; i < size * LaneMemory.Width; i++)
        {
            // Right-hand sides of a few ones, as meters make them.
            ((double*)sides)[i] = random.Next(size) == 0 ? 1 : 0;
        }
        fixed (
            double* v = values,
                right = b,
                solution = x,
                w = work,
                inv = inverse
        )
        {
            Assert.True(program.FactorStatic(v, inv));
            Assert.True(program.FactorDynamic(v, inv));
            program.Solve(v, inv, right, solution, w);
            program.Solve(v, inv, sides, sides + size, sides + 3 * size);
            program.SolveTransposed(v, inv, sides, sides + 2 * size, sides + 3 * size);
        }
        for (var i = 0; i < size; i++)
        {
            var residual = -b[i];
            for (var j = 0; j < size; j++)
            {
                residual += dense[i, j] * x[j];
            }
            Assert.InRange(residual, -1e-12, 1e-12);
            for (var lane = 0; lane < LaneMemory.Width; lane++)
            {
                var (forward, backward) = (-sideOf(i, lane), -sideOf(i, lane));
                for (var j = 0; j < size; j++)
                {
                    forward += dense[i, j] * sideOf(size + j, lane);
                    backward += dense[j, i] * sideOf(2 * size + j, lane);
                }
                Assert.InRange(forward, -1e-12, 1e-12);
                Assert.InRange(backward, -1e-12, 1e-12);
            }
        }
    }
}
